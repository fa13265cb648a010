"""Cases to put into a library."""

from pathlib import Path
from typing import Any

from msgspec.structs import replace

from annotator.formats.case import casefile
from annotator.model.case import Case, Tag
from annotator.model.place import Place
from tests.measure.cases import case


def put(folder: Path, name: str, *tags: Tag, revision: int = 1, **other: Any) -> Case:
    """Write a case of these tags, whose number is its name."""
    made = replace(case(*tags), **({"id": f"urn:test:{name}", "title": f"Model eye {name}"} | other))
    path = folder / f"{name}.case.jsonld"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(casefile.dumps(made, revision))
    return made


def with_note(tag: Tag, note: str) -> Tag:
    return replace(tag, note=note)


def at(tag: Tag, place: Place) -> Tag:
    return replace(tag, place=place)
