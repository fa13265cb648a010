"""An annotation in the form in which this program writes it, taken in one step: a case may hold tens of thousands.

What is written otherwise, or holds a fault, is left to the reader that tells the one from the other.
"""

from functools import lru_cache
from typing import Literal, NamedTuple

import msgspec

from annotator.formats.case.fields import IRI, is_utc
from annotator.formats.faults import LONGEST_NAME, LONGEST_TEXT
from annotator.model.case import Certainty


class _Strict(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    """One key more, and it is not the usual form."""


class _Selector(_Strict, tag_field="type", tag="FragmentSelector"):
    value: str
    conformsTo: str = ""  # noqa: N815  # the standard's own name


class _Target(_Strict, tag_field="type", tag="SpecificResource"):
    source: str
    selector: _Selector


class _Term(_Strict, tag_field="purpose", tag="classifying"):
    source: str
    type: str = ""


class _Note(_Strict, tag_field="purpose", tag="commenting"):
    value: str
    type: str = ""
    format: str = ""


class _Person(_Strict):
    type: Literal["Person"]  # a field, which must be there: a tag may be left out
    name: str


class _Annotation(_Strict, tag_field="type", tag="Annotation"):
    id: str
    motivation: Literal["classifying"]
    body: list[_Term | _Note]
    target: list[_Target]
    confirmed: bool = True
    moment: bool = False
    performer: str | None = None
    certainty: Certainty = Certainty.CERTAIN
    place: str = ""
    words: str = ""
    strength: str = ""
    created: str = ""
    modified: str = ""
    creator: str | _Person = ""


class UsualTag(NamedTuple):
    """A tag of which nothing needs looking at but its place, and where the range lies that `target` gives."""

    says: _Annotation
    concept: str
    note: str
    author: str
    target: _Target


def usual_tag(plain: object) -> UsualTag | None:
    """The annotation, or None where it is not in the usual form: in one recording, a concept and at most a note."""
    try:
        says = msgspec.convert(plain, _Annotation)
        term, *notes = says.body
        (target,) = says.target
    except ValueError:
        return None
    concept = term.source if isinstance(term, _Term) else ""
    note = notes[0].value if len(notes) == 1 and isinstance(notes[0], _Note) else ""
    author = says.creator if isinstance(says.creator, str) else says.creator.name
    is_sound = (
        len(notes) == bool(note)
        and len(author) <= LONGEST_NAME
        and max(len(says.id), len(note), len(concept), *map(len, (says.place, says.words, says.strength)))
        <= LONGEST_TEXT
        and IRI.fullmatch(says.id)
        and _is_iri(concept)
        and _is_utc(says.created)
        and _is_utc(says.modified)
    )
    return UsualTag(says, concept, note, author, target) if is_sound else None


@lru_cache(1_000)  # many tags have the same
def _is_iri(text: str) -> bool:
    return IRI.fullmatch(text) is not None


@lru_cache(1_000)
def _is_utc(text: str) -> bool:
    return not text or is_utc(text)
