"""How much time each concept has had so far, for the step sheet."""

from collections import defaultdict
from collections.abc import Mapping

from annotator.model.case import Case
from annotator.model.interval import Interval, union
from annotator.model.timecode import Ms


def time_so_far(case: Case, at: Ms) -> Mapping[str, Ms]:
    """Time under each concept by IRI, no moment counted twice; a running tag counts up to `at`."""
    ranges: dict[str, list[Interval]] = defaultdict(list)
    for tag in case.tags:
        end = max(tag.start, at) if tag.end is None else tag.end
        ranges[tag.concept].append(Interval(tag.start, end))
    return {concept: sum(one.length for one in union(found)) for concept, found in ranges.items()}


def visits(case: Case) -> Mapping[str, int]:
    """How many tags each concept has, by IRI."""
    counted: dict[str, int] = defaultdict(int)
    for tag in case.tags:
        counted[tag.concept] += 1
    return counted


def covering(case: Case, at: Ms) -> Mapping[str, bool]:
    """The concepts that the frame at `at` is tagged with, by IRI: True for one that is still running."""
    found: dict[str, bool] = {}
    for tag in case.tags:
        if tag.start > at:
            break
        if tag.end is None or at < tag.end:
            found[tag.concept] = found.get(tag.concept, False) or tag.is_running
    return found
