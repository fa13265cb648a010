"""How much time each concept has had so far, for the step sheet."""

from collections import defaultdict
from collections.abc import Mapping
from itertools import takewhile

from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, union
from annotator.model.timecode import Ms


def time_so_far(case: Case, at: Ms) -> Mapping[str, Ms]:
    """Time under each concept by IRI, no moment counted twice; a running tag counts up to `at`."""
    ranges: dict[str, list[Interval]] = defaultdict(list)
    for tag in case.tags:
        end = max(tag.start, at) if tag.end is None else tag.end
        ranges[tag.concept].append(Interval(tag.start, end))
    return {concept: sum(one.length for one in union(found)) for concept, found in ranges.items()}


def tags_at(case: Case, at: Ms) -> list[Tag]:
    """The tags that cover the frame at `at`, in the order of the facets."""
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}
    begun = takewhile(lambda tag: tag.start <= at, case.tags)
    here = [tag for tag in begun if tag.end is None or at < tag.end]

    def place(tag: Tag) -> int:
        facet = case.facet_of(tag)
        return order[facet.name] if facet else len(order)

    return sorted(here, key=place)


def covering(case: Case, at: Ms) -> Mapping[str, bool]:
    """The concepts that the frame at `at` is tagged with, by IRI: True for one that is still running."""
    found: dict[str, bool] = {}
    for tag in tags_at(case, at):
        found[tag.concept] = found.get(tag.concept, False) or tag.is_running
    return found
