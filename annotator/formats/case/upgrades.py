"""Case files of earlier versions, brought up to the present one step by step.

A change of the form gets the next number and, here, a function that turns a document of the version
before into one of the version after. Nothing else in the program knows of earlier forms.
"""

from collections.abc import Callable, Iterator
from typing import Any, TypeAlias

from annotator.errors import InvalidFile, NewerSchema
from annotator.formats.case import media_fragment
from annotator.formats.faults import short

Document: TypeAlias = dict[str, Any]

NAME = "surgical-step-annotator case"
"""What `schemaName` says in every case file."""


def mark_moments(document: Document) -> None:
    """1 to 2: a moment was an empty range, `t=12.5,12.5`, which Media Fragments does not allow.

    It becomes a range of a millisecond, and the annotation says `moment`.
    """
    for annotation in _objects(_inside(document.get("first"), "items")):
        for target in _objects(annotation.get("target")):
            selector = target.get("selector")
            start, _, end = str(_inside(selector, "value")).removeprefix("t=").partition(",")
            at = media_fragment.loads(f"t={start}")
            if isinstance(selector, dict) and start == end and at is not None:
                selector["value"] = media_fragment.dumps(at.start, at.start + 1)
                annotation["moment"] = True


def know_the_inside(_document: Document) -> None:
    """2 to 3: a concept may say `inside`, which earlier versions of the program refuse. None had said so."""


def know_what_surgeons_say(_document: Document) -> None:
    """3 to 4: a case may name its kind of operation, a tag a strength, a concept when it begins and ends, and rules.

    Places have parts with a name, and more zones. A recording may say how its picture stands. A case may list roles;
    one without a list means those that all cases knew. Earlier versions of the program refuse those, and what is new of
    a concept; no earlier case has any.
    """


def know_facts(document: Document) -> None:
    """4 to 5: a case may say facts. What another program may have kept under that key gets a key of its own."""
    if "facts" in document:
        document["factsOfVersion4"] = document.pop("facts")


UPGRADES: tuple[Callable[[Document], None], ...] = (mark_moments, know_the_inside, know_what_surgeons_say, know_facts)
"""The first turns version 1 into version 2, the next 2 into 3, and so on; each changes the document itself."""

VERSION = len(UPGRADES) + 1
"""The version that is written."""


def version_of(document: Document) -> int:
    """The version of a document. Raises InvalidFile where it is no case, NewerSchema where it is of a later version."""
    if document.get("schemaName") != NAME:
        raise InvalidFile(
            "This is not a case file", [f"a case file is JSON that says “schemaName”: “{NAME}”; open one of those"]
        )
    version = document.get("schemaVersion")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise InvalidFile("This is not a case file", [f"schemaVersion: “{short(version)}” is not a version"])
    _refuse_later(version)
    return version


def upgrade(document: Document, to: int = VERSION) -> None:
    """Bring a document up to version `to`, in place. Raises as `version_of` does."""
    _refuse_later(to)
    for version in range(version_of(document), to):
        UPGRADES[version - 1](document)
        document["schemaVersion"] = version + 1


def _refuse_later(version: int) -> None:
    if version > VERSION:
        raise NewerSchema(
            "This case was written by a later version of the program",
            [f"its format is version {version}, and this program knows up to {VERSION}; install the latest version"],
        )


def _objects(found: object) -> Iterator[dict[str, Any]]:
    yield from (one for one in found if isinstance(one, dict)) if isinstance(found, list) else ()


def _inside(found: object, key: str) -> object:
    return found.get(key) if isinstance(found, dict) else None
