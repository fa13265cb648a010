"""How long each step took: visits, union of time, and what follows what. Definitions: docs/measures.md.

A *visit* is one uninterrupted stay: ranges of one concept that overlap or touch are one visit, and no
millisecond is counted twice. All times are whole milliseconds on the case's clock.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import TypeAlias

import msgspec

from annotator.measure.rollup import lineages
from annotator.model.case import Case, Performer, Tag
from annotator.model.interval import Interval, gaps, shared, total, union
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept

Stay: TypeAlias = tuple[Ms, Ms]
"""Start and end of one visit."""


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
    by_performer: tuple[PerformerRows, ...] | None = None
    notes: tuple[str, ...] = ()


class _Counted(msgspec.Struct, frozen=True):
    """A tag that counts: its time within the case, and the concepts of the facet it counts for."""

    tag: Tag
    time: Stay
    line: tuple[Concept, ...]


def summarise(case: Case, facet: str = "step", by_performer: bool = False, language: str = DEFAULT_LANGUAGE) -> Summary:
    """Durations of the concepts of one facet. Raises UnknownName for a facet that the vocabulary lacks."""
    name = case.vocabulary.facet(facet).name
    lines = lineages(case.vocabulary, case.tags, name)
    counted = [
        _Counted(tag, time, lines[tag.concept])
        for tag in case.tags
        if tag.concept in lines and (time := _within(case, tag)) is not None
    ]
    return Summary(
        case=case.title or case.id,
        duration=case.duration,
        facet=name,
        rows=_rows(case, counted, language),
        untagged=total(gaps(_intervals(counted), case.whole)),
        overlap=_overlap(counted),
        transitions=_transitions(case, counted),
        by_performer=_by_performer(case, counted, language) if by_performer else None,
        notes=tuple(_notes(case, lines, language)),
    )


def stays(ranges: Iterable[Stay]) -> list[Stay]:
    """The visits that ranges make, in order: what overlaps or touches is one; a lone moment is a visit of no length."""
    merged: list[Stay] = []
    for start, end in sorted(ranges):
        if merged and start <= merged[-1][1]:
            if end > merged[-1][1]:
                merged[-1] = (merged[-1][0], end)
        else:
            merged.append((start, end))
    return merged


def mean(lengths: Sequence[Ms]) -> Ms:
    """The arithmetic mean to the nearest ms, a half rounded up."""
    return (2 * sum(lengths) + len(lengths)) // (2 * len(lengths))


def median(lengths: Sequence[Ms]) -> Ms:
    """The middle length; of an even number the mean of the two in the middle, a half rounded up."""
    ordered = sorted(lengths)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half] + 1) // 2


def _within(case: Case, tag: Tag) -> Stay | None:
    """The part of a tag inside the case; None where there is none."""
    start, end = case.range_of(tag)
    if start > case.duration or end < 0 or (start == case.duration and end > start):
        return None
    return max(start, 0), min(end, case.duration)


def _intervals(counted: Iterable[_Counted]) -> list[Interval]:
    return [Interval(*one.time) for one in counted]


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
    own = [Interval(*one.time) for one in counted if one.tag.concept == one.line[0].iri]
    doubled = shared(own)
    if len(own) < len(counted):
        by_top: dict[str, list[Interval]] = {}
        for one in counted:
            by_top.setdefault(one.line[-1].notation, []).append(Interval(*one.time))
        doubled += shared([interval for ranges in by_top.values() for interval in union(ranges)])
    return total(doubled)


def _transitions(case: Case, counted: Iterable[_Counted]) -> tuple[Transition, ...]:
    """Changes from one visit to the next by start; coming back to the same concept is none."""
    place = {concept.notation: index for index, concept in enumerate(case.vocabulary.concepts)}
    ranges: dict[str, list[Stay]] = {}
    for one in counted:
        ranges.setdefault(one.line[0].notation, []).append(one.time)
    visits = sorted(
        (start, -end, place[notation], notation) for notation, times in ranges.items() for start, end in stays(times)
    )
    order = [notation for *_, notation in visits]
    counts = Counter((before, after) for before, after in pairwise(order) if before != after)
    ranked = sorted(counts.items(), key=lambda item: (-item[1], place[item[0][0]], place[item[0][1]]))
    return tuple(Transition(before, after, count) for (before, after), count in ranked)


def _by_performer(case: Case, counted: Sequence[_Counted], language: str) -> tuple[PerformerRows, ...]:
    """Rows for each performer that occurs, in the order of the roles, those without one last."""
    groups: dict[Performer | None, list[_Counted]] = {role: [] for role in (*Performer, None)}
    for one in counted:
        groups[one.tag.performer].append(one)
    return tuple(PerformerRows(role, _rows(case, group, language)) for role, group in groups.items() if group)


def _notes(case: Case, lines: Mapping[str, object], language: str) -> Iterable[str]:
    """What a reader of the figures has to know, as sentences."""
    for tag in case.tags:
        concept = case.concept_of(tag)
        if concept is None:
            yield f"{tag.concept} at {clock(tag.start)} is not in the vocabulary and is not counted."
        elif tag.concept in lines:
            name = concept.label(language)
            if _within(case, tag) is None:
                yield f"{name} at {clock(tag.start)} lies outside the recording and is not counted."
            elif tag.is_running:
                yield f"{name}, begun at {clock(tag.start)}, is still running and is counted to the end of the case."
            elif tag.end is not None and (tag.end > case.duration or tag.start < 0):
                yield f"{name} at {clock(tag.start)} reaches beyond the recording; only the part within it is counted."
