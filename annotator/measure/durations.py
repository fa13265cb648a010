"""How long each step took: visits, union of time, and what follows what. Definitions: docs/measures.md.

A *visit* is one uninterrupted stay: ranges of one concept that overlap or touch are one visit, and no
millisecond is counted twice. All times are whole milliseconds on the case's clock.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

import msgspec

from annotator.measure import tag_notes
from annotator.measure.places import PlaceTimes, time_by_place
from annotator.measure.rollup import lineages
from annotator.measure.stays import Stay, mean, median, stays
from annotator.model.case import Case, Performer, Tag
from annotator.model.interval import Interval, gaps, shared, total, union
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept


class Row(msgspec.Struct, frozen=True):
    """The time of one concept; `share` is of the whole case, from 0 to 1."""

    notation: str
    label: str
    visits: int
    total: Ms
    longest: Ms
    mean: Ms
    median: Ms
    share: float
    first_start: Ms


class Transition(msgspec.Struct, frozen=True):
    """How often one concept was followed by another; both by notation."""

    origin: str
    to: str
    count: int


class PerformerRows(msgspec.Struct, frozen=True):
    """The rows of the tags of one performer; None: of the tags where nobody said who."""

    performer: Performer | None
    rows: tuple[Row, ...]


class Summary(msgspec.Struct, frozen=True):
    """The durations of one facet of a case.

    case          its title, or its id where it has none
    duration      of the whole case
    rows          one for each concept that occurs, in the order of the vocabulary
    untagged      time that no counted tag covers
    overlap       time under two tags of the facet, or under two of its concepts, at once
    transitions   most frequent first
    places        time by place on the retina, of all tags whatever their facet
    by_performer  None where it was not asked for
    notes         sentences on what the figures rest on: running tags, tags outside the case ...
    """

    case: str
    duration: Ms
    facet: str
    rows: tuple[Row, ...]
    untagged: Ms
    overlap: Ms
    transitions: tuple[Transition, ...]
    places: PlaceTimes
    by_performer: tuple[PerformerRows, ...] | None = None
    notes: tuple[str, ...] = ()


class Visit(msgspec.Struct, frozen=True):
    """One uninterrupted stay with a concept; a moment has no length."""

    concept: Concept
    start: Ms
    end: Ms


class _Counted(NamedTuple):
    """A tag that counts: its time within the case, and the concepts of the facet it counts for."""

    tag: Tag
    time: Interval
    line: tuple[Concept, ...]


def summarise(case: Case, facet: str = "step", by_performer: bool = False, language: str = DEFAULT_LANGUAGE) -> Summary:
    """Durations of the concepts of one facet. Raises UnknownName for a facet that the vocabulary lacks."""
    counted, notes = _count(case, facet, language)
    return Summary(
        case=case.title or case.id,
        duration=case.duration,
        facet=facet,
        rows=_rows(case, counted, language),
        untagged=total(gaps([one.time for one in counted], case.whole)),
        overlap=_overlap(counted),
        transitions=_transitions(_visits(case, counted)),
        places=time_by_place(case),
        by_performer=_by_performer(case, counted, language) if by_performer else None,
        notes=notes,
    )


def visits(case: Case, facet: str) -> tuple[Visit, ...]:
    """The visits of a facet in order of start, each tag counted for the nearest of its concepts in that facet.

    Raises UnknownName for a facet that the vocabulary lacks.
    """
    return tuple(_visits(case, _count(case, facet, DEFAULT_LANGUAGE)[0]))


def _count(case: Case, facet: str, language: str) -> tuple[list[_Counted], tuple[str, ...]]:
    """The tags that count for a facet, and sentences on what a reader of the figures has to know of them."""
    lines = lineages(case.vocabulary, case.tags, case.vocabulary.facet(facet).name)
    last = case.duration
    counted: list[_Counted] = []
    notes: list[str] = []
    for tag in case.tags:
        line, own = lines.get(tag.concept), case.concept_of(tag)
        if line is None or own is None:
            if own is None:
                notes.append(f"{tag.concept} at {clock(tag.start)} is not in the vocabulary and is not counted.")
            continue
        start, end = tag.start, last if tag.end is None else tag.end
        if end < 0 or start > last or (start == last and tag.end != start):
            notes.append(tag_notes.outside(case, tag, own.label(language)))
            continue
        if tag.end is None or end > last or start < 0:
            says = tag_notes.running if tag.end is None else tag_notes.beyond
            notes.append(says(case, tag, own.label(language)))
        counted.append(_Counted(tag, Interval(max(start, 0), min(end, last)), line))
    proposed = sum(not one.tag.confirmed for one in counted)
    if proposed:
        notes.append(f"{proposed} of {len(counted)} tags are only proposed and not confirmed; they are counted.")
    return counted, tuple(notes)


def _rows(case: Case, counted: Iterable[_Counted], language: str) -> tuple[Row, ...]:
    ranges: dict[str, list[Stay]] = {}
    for one in counted:
        for concept in one.line:
            ranges.setdefault(concept.notation, []).append(one.time)
    return tuple(
        _row(concept, stays(ranges[concept.notation]), case.duration, language)
        for concept in case.vocabulary.concepts
        if concept.notation in ranges
    )


def _row(concept: Concept, visits: Sequence[Stay], duration: Ms, language: str) -> Row:
    lengths = [end - start for start, end in visits]
    covered = sum(lengths)
    return Row(
        notation=concept.notation,
        label=concept.label(language),
        visits=len(visits),
        total=covered,
        longest=max(lengths),
        mean=mean(lengths),
        median=median(lengths),
        share=covered / duration if duration else 0.0,
        first_start=visits[0][0],
    )


def _overlap(counted: Sequence[_Counted]) -> Ms:
    """Time under two tags of the facet itself, or, rolled up, under two of its topmost concepts."""
    own = [one.time for one in counted if one.tag.concept == one.line[0].iri]
    doubled = shared(own)
    if len(own) < len(counted):
        by_top: dict[str, list[Interval]] = {}
        for one in counted:
            by_top.setdefault(one.line[-1].notation, []).append(one.time)
        doubled += shared([interval for ranges in by_top.values() for interval in union(ranges)])
    return total(doubled)


def _visits(case: Case, counted: Iterable[_Counted]) -> list[Visit]:
    """By start, of one start the longer first, then as in the vocabulary."""
    ranges: dict[str, list[Stay]] = {}
    for one in counted:
        ranges.setdefault(one.line[0].notation, []).append(one.time)
    found = [
        Visit(concept, start, end)
        for concept in case.vocabulary.concepts
        if concept.notation in ranges
        for start, end in stays(ranges[concept.notation])
    ]
    return sorted(found, key=lambda visit: (visit.start, -visit.end))


def _transitions(in_order: Sequence[Visit]) -> tuple[Transition, ...]:
    """Changes from one visit to the next; coming back to the same concept is none. Ties stand as they first happen."""
    counts = Counter(
        (before.concept.notation, after.concept.notation)
        for before, after in pairwise(in_order)
        if before.concept.notation != after.concept.notation
    )
    return tuple(Transition(before, after, count) for (before, after), count in counts.most_common())


def _by_performer(case: Case, counted: Sequence[_Counted], language: str) -> tuple[PerformerRows, ...]:
    """Rows for each performer that occurs, in the order of the roles, those without one last."""
    groups: dict[Performer | None, list[_Counted]] = {role: [] for role in (*Performer, None)}
    for one in counted:
        groups[one.tag.performer].append(one)
    return tuple(PerformerRows(role, _rows(case, group, language)) for role, group in groups.items() if group)
