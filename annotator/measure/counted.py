"""Which tags count for a facet, with what time, and the visits that they make. Rules: docs/measures.md."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import msgspec

from annotator.measure import tag_notes
from annotator.measure.rollup import lineages, settled_lines
from annotator.measure.stays import Stay, stays
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import clock
from annotator.model.vocabulary import Concept, label_in


class Named(msgspec.Struct, frozen=True):
    """Visits under one name, disjoint and in order; one without length is a moment.

    `begins_when` and `ends_when` say what is seen when such a visit begins and ends, where the vocabulary does.
    """

    notation: str
    label: str
    visits: Sequence[Stay]
    begins_when: str = ""
    ends_when: str = ""


class Counted(NamedTuple):
    """A tag that counts: its time within the case, and the concepts of the facet it counts for."""

    tag: Tag
    time: Interval
    line: tuple[Concept, ...]


def count(case: Case, facet: str, language: str) -> tuple[list[Counted], tuple[str, ...]]:
    """The tags that count for a facet, and sentences on what a reader of the figures has to know of them."""
    lines = lineages(case.vocabulary, case.tags, case.vocabulary.facet(facet).name)
    settled = settled_lines(case, facet)
    last = case.duration
    counted: list[Counted] = []
    notes = list(tag_notes.altered(case))
    for tag in case.tags:
        line, own = settled.get(tag.id) or lines.get(tag.concept), case.concept_of(tag)
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
        counted.append(Counted(tag, Interval(max(start, 0), min(end, last)), line))
    proposed = sum(not one.tag.confirmed for one in counted)
    if proposed:
        notes.append(f"{proposed} of {len(counted)} tags are only proposed and not confirmed; they are counted.")
    return counted, tuple(notes)


def by_concept(case: Case, counted: Iterable[Counted], language: str) -> list[Named]:
    """The visits of each concept that occurs, the narrower ones rolled up, in the order of the vocabulary."""
    ranges: dict[str, list[Stay]] = {}
    for one in counted:
        for concept in one.line:
            ranges.setdefault(concept.notation, []).append(one.time)
    return _in_order(case, ranges, language)


def by_nearest(case: Case, counted: Iterable[Counted], language: str) -> list[Named]:
    """The same with each tag counted for the nearest of its concepts only."""
    ranges: dict[str, list[Stay]] = {}
    for one in counted:
        ranges.setdefault(one.line[0].notation, []).append(one.time)
    return _in_order(case, ranges, language)


def _in_order(case: Case, ranges: Mapping[str, Iterable[Stay]], language: str) -> list[Named]:
    return [
        Named(
            concept.notation,
            concept.label(language),
            stays(ranges[concept.notation]),
            label_in(concept.begins_when, language),
            label_in(concept.ends_when, language),
        )
        for concept in case.vocabulary.concepts
        if concept.notation in ranges
    ]
