"""Which tags stills and clips are made of, and what their files are called."""

import re
from collections.abc import Container
from itertools import count

from annotator.model.case import Case, Tag
from annotator.model.timecode import clock

_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_LONGEST = 60


def tags_of(case: Case, facet: str = "step", step: str | None = None) -> tuple[Tag, ...]:
    """The tags of a facet, or of the one concept that is called `step`, in order of time.

    Raises UnknownName, AmbiguousName.
    """
    if step is None:
        return tuple(case.in_facet(facet))
    concept = case.vocabulary.match(step)
    return tuple(tag for tag in case.tags if tag.concept == concept.iri)


def file_name(case: Case, tag: Tag, ending: str, taken: Container[str] = ()) -> str:
    """Time and notation, with a number where that is taken; nothing that anybody typed about the case stands in it."""
    concept = case.concept_of(tag)
    word = _UNSAFE.sub("-", concept.notation if concept else "").strip(".-")[:_LONGEST] or "unknown"
    name = f"{clock(max(tag.start, 0)).replace(':', '-')}-{word}"
    numbered = (name if at == 1 else f"{name}-{at}" for at in count(1))
    return next(f"{one}{ending}" for one in numbered if f"{one}{ending}" not in taken)
