"""Questions about where on the retina something was done."""

from collections import Counter
from collections.abc import Iterator
from functools import lru_cache

from annotator.errors import InvalidEdit
from annotator.measure.finding import Finding, named
from annotator.model.case import Case, Tag
from annotator.model.place import HOURS, NO_HOUR, PARTS, Eye, Field, Place, parse_place, print_place
from annotator.model.vocabulary import Concept

_AREAS_OF = {"equator": ("mid-periphery", "far periphery"), "ora": ("far periphery",)}
"""The areas that meet at a line, or end there."""


def unusual_place(case: Case, tag: Tag, concept: Concept | None) -> Iterator[tuple[str, str]]:
    """A tag of which no part lies where its concept is usually done; of that alone, and in which eye.

    A concept that says nothing is done where the nearest broader one of its category is.
    """
    line = case.vocabulary.lineage(concept, concept.facet) if concept else ()
    usual_names = next((one.rules.usual_place for one in line if one.rules.usual_place), ())
    usual = _usual(usual_names, case.eye)
    if usual and not any(_meets(one, other) for one in tag.place for other in usual):
        says = (
            f"{named(case, tag)} is placed at {print_place(tag.place)}, and its usual place is {'; '.join(usual_names)}"
        )
        yield "place", f"{says}; was this tagged as meant?"


def depends_on_eye(place: Place) -> bool:
    """Whether a place lies on one side of an eye: at some hours of a zone, not all round and not in the middle."""
    hours = Counter(field.zone for field in place if field.hour != NO_HOUR)
    return any(count < len(HOURS) for count in hours.values())


def eye_not_said(case: Case, placed: Tag | None) -> list[Finding]:
    """A case with places on one side, of which it is not known in which eye; told by the first of them."""
    if placed is None or case.eye is not None:
        return []
    says = (
        f"{named(case, placed)} is placed at {print_place(placed.place)}, but the case does not say which eye it is, "
        "and nasal and temporal depend on it; is it the right or the left?"
    )
    return [Finding("eye", says, placed.start, (placed.id,))]


@lru_cache(1_000)
def _usual(places: tuple[str, ...], eye: Eye | None) -> Place:
    """The usual places as fields; one that can't be read, or not without the eye, says nothing of any."""
    try:
        return frozenset(field for text in places for field in parse_place(text, eye))
    except InvalidEdit:
        return frozenset()


def _meets(one: Field, other: Field) -> bool:
    """Whether two fields have something of the retina in common, as far as their names tell."""
    same_hour = NO_HOUR in (one.hour, other.hour) or one.hour == other.hour
    are_parts = one.zone in PARTS and other.zone in PARTS
    return one == other or (same_hour and not are_parts and not _areas(one).isdisjoint(_areas(other)))


def _areas(field: Field) -> frozenset[str]:
    return frozenset(("posterior",) if field.zone in PARTS else (field.zone, *_AREAS_OF.get(field.zone, ())))
