"""What can be read: the guide and its neighbours, the keys, what the program is made of, and under which licences.

Each is text: Markdown as it travels with the program, or made from what is installed.
"""

import re
from collections.abc import Iterator
from html import escape
from pathlib import Path
from platform import platform, python_version
from typing import TYPE_CHECKING

from PySide6.QtCore import qVersion

from annotator.bundled import bundled
from annotator.desktop.settings.key_list import KeyRow
from annotator.media.versions import ffmpeg_versions

if TYPE_CHECKING:
    from importlib.metadata import Distribution

PROGRAM = "surgical-step-annotator"

_PICTURE = re.compile(r"^!\[[^\]]*\]\([^)]*\)\s*$", re.MULTILINE)
"""A picture on a line of its own: pictures stay in the documents on the web, where they can be as large as they are."""

_NAME = re.compile(r"[A-Za-z0-9._-]+")
"""A package in a line of what another one needs (PEP 508)."""

_LICENCE = re.compile(r"licen[cs]e|copying|notice", re.IGNORECASE)
_LONGEST = 200_000
"""Characters of one licence that are shown."""


def page(name: str) -> str | None:
    """A page of the documents as Markdown, by the name of its file; None where there is none of that name."""
    path = bundled("docs") / Path(name).name
    if path.suffix != ".md" or not path.is_file():
        return None
    return _PICTURE.sub("", path.read_text(encoding="utf-8"))


def keys_page(rows: list[KeyRow]) -> str:
    """Every command and step with its keys, as HTML; everything that comes from a vocabulary is escaped."""
    parts = ["<h1>Keyboard shortcuts</h1>", "<p>Change them in the settings.</p>"]
    for row in rows:
        if not row.name:
            parts.append(f'</table><h3>{escape(row.text)}</h3><table width="100%">')
        elif row.caps:
            keys = " or ".join(map(escape, row.caps))
            parts.append(f'<tr><td width="70%">{escape(row.text)}</td><td><b>{keys}</b></td></tr>')
    return "".join(parts).replace("</table>", "", 1) + "</table>"


def about() -> str:
    """Version of the program and of what does the work in it, as Markdown."""
    made_of = {"Python": python_version(), "Qt": qVersion(), "PySide6": _version("PySide6-Essentials")}
    made_of |= ffmpeg_versions() | {"System": platform()}
    lines = "\n".join(f"- {name}: {said}" for name, said in made_of.items())
    return (
        f"# Surgical step annotator\n\nVersion {_version(PROGRAM)}. For teaching material: not a clinical record and "
        f"not a medical device.\n\nLicence: Apache License 2.0, see **Licences**.\n\n## What it runs on\n\n{lines}\n"
    )


def licences() -> str:
    """The program's own licence, and those of what is installed with it, as plain text."""
    return "\n\n\n".join(_licences())


def _licences() -> Iterator[str]:
    own = _distribution(PROGRAM)
    if own is None:
        return
    yield from (text for text in map(own.read_text, ("licenses/THIRD_PARTY.md", "licenses/LICENSE")) if text)
    names = [found[0] for needed in own.requires or () if (found := _NAME.match(needed)) and "dev" not in needed]
    for name in sorted(set(names), key=str.casefold):
        package = _distribution(name)
        for file in (package.files or ()) if package else ():
            if _LICENCE.search(file.name) and file.suffix in ("", ".txt", ".md", ".rst"):
                text = Path(str(file.locate())).read_text(encoding="utf-8", errors="replace")
                yield f"{'=' * 79}\n{name}: {file.name}\n{'=' * 79}\n\n{text[:_LONGEST]}"


def _distribution(name: str) -> "Distribution | None":
    from importlib.metadata import PackageNotFoundError, distribution  # brings in what reads mail: a tenth of a second

    try:
        return distribution(name)
    except PackageNotFoundError:
        return None


def _version(name: str) -> str:
    package = _distribution(name)
    return package.version if package else "not installed as a package"
