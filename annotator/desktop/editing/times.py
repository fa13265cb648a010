"""How much time each concept has so far, for the step list, and which tags cover a frame."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, total
from annotator.model.tag_list import Block
from annotator.model.timecode import Ms


class _Stays(NamedTuple):
    """The ended tags of one concept in a block: their ranges, the start of the first, what all cover, until when."""

    ranges: Sequence[Interval]
    start: Ms
    covered: Ms
    reach: Ms


class TimeSoFar:
    """Of one case. What does not change with the shown frame is counted once, after an edit only where tags changed."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._running: dict[str, Ms] = {}
        for tag in case.running:
            self._running.setdefault(tag.concept, tag.start)
        self._ended = ended = dict[str, Ms]()
        reached: dict[str, Ms] = {}
        for block in case.tag_list.blocks:
            for concept, stays in block.once("stays", (), partial(_stays, block)).items():
                ranges, start, covered, reach = stays
                before = reached.get(concept, start)
                if before > start:
                    covered, reach = _beyond(before, ranges)
                ended[concept] = ended.get(concept, 0) + covered
                reached[concept] = reach

    def at(self, at: Ms) -> Mapping[str, Ms]:
        """Time under each concept by IRI, no moment counted twice; a running tag counts up to `at`."""
        times = dict(self._ended)
        for concept, start in self._running.items():
            running = Interval(start, max(start, at))
            near = self.case.tag_list.near(*running, {concept})
            ended = (Interval(tag.start, tag.end).common(running) for tag in near if tag.end is not None)
            times[concept] = times.get(concept, 0) + running.length - total(filter(None, ended))
        return times


def _stays(block: Block) -> Mapping[str, _Stays]:
    ranges: dict[str, list[Interval]] = defaultdict(list)
    for tag in block:
        if tag.end is not None:
            ranges[tag.concept].append(Interval(tag.start, tag.end))
    return {iri: _Stays(found, found[0].start, *_beyond(found[0].start, found)) for iri, found in ranges.items()}


def _beyond(reach: Ms, ranges: Iterable[Interval]) -> tuple[Ms, Ms]:
    """What ranges, by their starts, cover beyond a time up to which all is covered; and up to when all is then."""
    covered = 0
    for start, end in ranges:
        if end > reach:
            covered += end - max(start, reach)
            reach = end
    return covered, reach


def tags_at(case: Case, at: Ms) -> list[Tag]:
    """The tags that cover the frame at `at`, in the order of the facets."""
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}

    def place(tag: Tag) -> int:
        facet = case.facet_of(tag)
        return order[facet.name] if facet else len(order)

    return sorted(case.covering(at), key=place)


def covering(case: Case, at: Ms) -> Mapping[str, bool]:
    """The concepts that the frame at `at` is tagged with, by IRI: True for one that is still running."""
    found: dict[str, bool] = {}
    for tag in case.covering(at):
        found[tag.concept] = found.get(tag.concept, False) or tag.is_running
    return found
