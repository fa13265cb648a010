"""What happened in cases: how often, and a log of each time. Definitions: docs/measures.md.

A note may say more of an event than a tag has fields for, one thing a line or between semicolons: `severity: 2`,
`cause: traction`, `answer: tamponade`, `outcome: attached`. These go into the log; the rest of a note does not, as it
may name somebody.
"""

import re
from collections.abc import Mapping, Sequence
from operator import attrgetter
from typing import Final

import msgspec

from annotator.measure.counted import count
from annotator.measure.durations import summarise
from annotator.measure.over_cases.series import Member
from annotator.measure.over_cases.step_times import STEP
from annotator.model.case import Case
from annotator.model.place import Place
from annotator.model.timecode import Ms
from annotator.plain_text import one_line

SAID: Final = ("severity", "cause", "answer", "outcome")
"""What a note can say of an event."""


class Logged(msgspec.Struct, frozen=True):
    """One tag of an event. Times in ms; `length` 0: only its moment is known.

    during  the steps that were under way when it began
    said    what its note says under `SAID`
    """

    name: str
    number: int | None
    notation: str
    label: str
    at: Ms
    length: Ms
    during: tuple[str, ...]
    performer: str
    place: Place
    said: Mapping[str, str]


class EventCount(msgspec.Struct, frozen=True):
    """One event over cases: in how many of them, how often in all, and by case in the order of the series."""

    notation: str
    label: str
    cases: int
    of: int
    occurrences: int
    by_case: tuple[int, ...]


class Events(msgspec.Struct, frozen=True):
    """The counts, in the order of the vocabulary, and the log, in that of the cases and of time."""

    counts: tuple[EventCount, ...]
    log: tuple[Logged, ...]


def events(members: Sequence[Member], language: str) -> Events:
    """Every event of the cases, which share a vocabulary; narrower events count for the broader one too."""
    labels: dict[str, str] = {}
    counted: list[dict[str, int]] = []
    for one in members:
        rows = [row for facet in event_facets(one.case) for row in summarise(one.case, facet, language=language).rows]
        labels |= {row.notation: row.label for row in rows}
        counted.append({row.notation: row.visits for row in rows})
    place = {concept.notation: at for one in members for at, concept in enumerate(one.case.vocabulary.concepts)}
    return Events(
        tuple(
            _count(notation, labels[notation], [one.get(notation, 0) for one in counted])
            for notation in sorted(labels, key=lambda notation: (place[notation], notation))
        ),
        tuple(logged for one in members for logged in _log(one, language)),
    )


def event_facets(case: Case) -> list[str]:
    """The categories whose tags may have no length."""
    return [facet.name for facet in case.vocabulary.facets if facet.moments]


def said_in(note: str) -> dict[str, str]:
    """What a note says under the words of `SAID`; of two with one word the first."""
    found: dict[str, str] = {}
    for part in re.split(r"[;\n]", note):
        word, colon, text = part.partition(":")
        if colon and word.strip().casefold() in SAID and text.strip():
            found.setdefault(word.strip().casefold(), one_line(text))
    return found


def _count(notation: str, label: str, by_case: Sequence[int]) -> EventCount:
    return EventCount(notation, label, sum(map(bool, by_case)), len(by_case), sum(by_case), tuple(by_case))


def _log(one: Member, language: str) -> list[Logged]:
    case = one.case
    counted = (found for facet in event_facets(case) for found in count(case, facet, language)[0])
    logged = (
        Logged(
            one.name,
            one.number,
            line[0].notation,
            line[0].label(language),
            time.start,
            time.length,
            _during(case, time.start, language),
            case.roles.called(tag.performer, language),
            tag.place,
            said_in(tag.note),
        )
        for tag, time, line in counted
    )
    return sorted(logged, key=attrgetter("at", "notation", "length"))


def _during(case: Case, at: Ms, language: str) -> tuple[str, ...]:
    found = (case.concept_of(one) for one in case.covering(at))
    return tuple(concept.label(language) for concept in found if concept is not None and concept.facet == STEP)
