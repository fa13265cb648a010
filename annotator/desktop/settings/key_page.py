"""The keys on one page for printing, made from the table of actions and the case's vocabulary.

`python -m annotator.desktop.settings.key_page FILE` writes the usual keys with those of the usual vocabulary.
"""

import sys
from collections.abc import Iterable
from html import escape
from pathlib import Path

from annotator.desktop.commands.actions import ACTIONS, MENUS, Keys, shared_out
from annotator.desktop.preferences.preferences import VOCABULARY
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary, label_in
from annotator.publish.kinds import PAGE
from annotator.store.vocabularies import find
from annotator.store.ways_out import WayOut

_PAGE = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>All keys</title>
<style>
@page {{ size: landscape; margin: 9mm; }}
body {{ font: 9pt/1.3 sans-serif; margin: 0; columns: 4; column-gap: 7mm; }}
h1 {{ font-size: 13pt; column-span: all; margin: 0 0 2mm; }}
h2 {{ font-size: 9.5pt; margin: 0 0 .5mm; padding-top: 1.5mm; break-after: avoid; }}
ul {{ list-style: none; margin: 0; padding: 0; }}
li {{ display: flex; justify-content: space-between; gap: 2mm; padding: .25mm 0; border-bottom: .2mm solid #ddd;
      break-inside: avoid; }}
li span {{ white-space: nowrap; }}
kbd {{ border: 1px solid #888; border-radius: 3px; padding: 0 .3em; font: inherit; }}
@media screen {{ body {{ font-size: 10.5pt; margin: 12mm; columns: 22em; }} }}
</style>
<h1>All keys</h1>
{body}
</html>
"""


def dumps(keys: Keys, vocabulary: Vocabulary | None) -> str:
    """The page as HTML; everything that comes from a vocabulary is escaped."""
    parts = []
    for facet in vocabulary.facets if vocabulary else ():
        rows = [
            ([keys.concepts[concept.iri]], concept.label())
            for concept in (vocabulary.in_facet(facet.name) if vocabulary else ())
            if concept.iri in keys.concepts
        ]
        parts.append(_section(label_in(facet.label, DEFAULT_LANGUAGE), rows))
    parts += [_section(name, _commands(keys, name)) for name in MENUS]
    return _PAGE.format(body="\n".join(filter(None, parts)))


def _commands(keys: Keys, menu: str) -> list[tuple[list[str], str]]:
    return [
        (list(keys.commands[action.does]), action.text.rstrip("…"))
        for action in ACTIONS
        if action.menu == menu and keys.commands[action.does]
    ]


def _caps(keys: Iterable[str]) -> str:
    return " ".join(f"<kbd>{escape(key)}</kbd>" for key in keys)


def _section(heading: str, rows: Iterable[tuple[list[str], str]]) -> str:
    lines = [f"<li>{escape(text)} <span>{_caps(keys)}</span></li>" for keys, text in rows]
    return f"<h2>{escape(heading)}</h2>\n<ul>\n" + "\n".join(lines) + "\n</ul>" if lines else ""


def write(path: Path, page: str) -> None:
    """Write a page over an older one, or any other: who named the file was asked. Raises StoreError."""
    WayOut(path, PAGE, replace=True).write(page.encode())


def usual() -> str:
    """The page of whoever has changed nothing."""
    vocabulary = find(VOCABULARY)
    return dumps(shared_out(ACTIONS, vocabulary, {}), vocabulary)


if __name__ == "__main__":
    write(Path(sys.argv[1]), usual())
