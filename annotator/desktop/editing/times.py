"""How much time each concept has so far, for the step list, and which tags cover a frame."""

from collections.abc import Mapping, Sequence

from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, total
from annotator.model.tag_list import Block
from annotator.model.timecode import Ms

Times = Mapping[str, Ms]
"""By the IRI of a concept."""


class TimeSoFar:
    """Of one case. What does not change with the shown frame is counted once, after an edit only where tags changed."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._running: dict[str, Ms] = {}
        for tag in case.running:
            self._running.setdefault(tag.concept, tag.start)
        reached: Times = {}
        self._ended = _sums(case.tag_list.walk("time so far", (), reached, _covered, _sums)[0])

    def at(self, at: Ms) -> Mapping[str, Ms]:
        """Time under each concept by IRI, no moment counted twice; a running tag counts up to `at`."""
        times = dict(self._ended)
        for concept, start in self._running.items():
            running = Interval(start, max(start, at))
            near = self.case.tag_list.near(*running, {concept})
            ended = (Interval(tag.start, tag.end).common(running) for tag in near if tag.end is not None)
            times[concept] = times.get(concept, 0) + running.length - total(filter(None, ended))
        return times


def _covered(block: Block, reached: Times) -> tuple[Times, Times]:
    """The time that ended tags cover beyond what those before them cover, and up to when all is covered then."""
    covered: dict[str, Ms] = {}
    reach = dict(reached)
    for tag in block:
        if tag.end is not None:
            before = max(reach.get(tag.concept, tag.start), tag.start)
            reach[tag.concept] = max(before, tag.end)
            covered[tag.concept] = covered.get(tag.concept, 0) + reach[tag.concept] - before
    return covered, {iri: end for iri, end in reach.items() if end > block[-1].start}


def _sums(parts: Sequence[Times]) -> Times:
    found: dict[str, Ms] = {}
    for part in parts:
        for iri, time in part.items():
            found[iri] = found.get(iri, 0) + time
    return found


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
