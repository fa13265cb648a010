"""How much time each concept has had so far, for the step sheet, and what covers a frame."""

from collections import defaultdict
from collections.abc import Mapping

from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, union
from annotator.model.timecode import Ms


class TimeSoFar:
    """Of one case. What does not change with the shown frame is counted once."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self._ranges: dict[str, list[Interval]] = defaultdict(list)
        self._running: dict[str, list[Ms]] = defaultdict(list)
        for tag in case.tags:
            if tag.end is None:
                self._running[tag.concept].append(tag.start)
            else:
                self._ranges[tag.concept].append(Interval(tag.start, tag.end))
        self._ended = {concept: _total(found) for concept, found in self._ranges.items()}

    def at(self, at: Ms) -> Mapping[str, Ms]:
        """Time under each concept by IRI, no moment counted twice; a running tag counts up to `at`."""
        times = dict(self._ended)
        for concept, starts in self._running.items():
            running = [Interval(start, max(start, at)) for start in starts]
            times[concept] = _total([*self._ranges.get(concept, ()), *running])
        return times


def _total(ranges: list[Interval]) -> Ms:
    return sum(one.length for one in union(ranges))


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
