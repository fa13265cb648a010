"""How long the work was at each place of the retina. Definitions: docs/measures.md."""

from collections import defaultdict
from collections.abc import Mapping

import msgspec

from annotator.model.case import Case
from annotator.model.interval import Interval, total
from annotator.model.place import FIELDS, Field
from annotator.model.timecode import Ms


class PlaceTimes(msgspec.Struct, frozen=True):
    """Time spent by place.

    fields  for each field that has any, in the order of the chart; a tag over several fields counts in each
    placed  time under any tag whose place is said, no millisecond counted twice
    """

    fields: Mapping[Field, Ms]
    placed: Ms


def time_by_place(case: Case) -> PlaceTimes:
    """The time of all tags whose place is said, whatever their facet, cut to the case; no second twice in a field."""
    by_field: defaultdict[Field, list[Interval]] = defaultdict(list)
    placed: list[Interval] = []
    for tag in case.tags:
        within = case.range_of(tag).common(case.whole)
        if tag.place and within is not None:
            placed.append(within)
            for field in tag.place:
                by_field[field].append(within)
    times = {field: total(by_field[field]) for field in FIELDS if field in by_field}
    return PlaceTimes(times, total(placed))
