"""The whole case as one picture: where each band, mark and name of the timeline stands, in units of its own width.

Nothing is told by colour alone: a band carries its name where that fits, else the key that it has in the
table below the picture, and every band has its name and times as a title.
"""

from collections.abc import Mapping

import msgspec

from annotator.measure.durations import visits
from annotator.model.case import Case
from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms, span
from annotator.model.vocabulary import label_in
from annotator.plain_text import one_line
from annotator.publish.report.phase_colours import case_colours
from annotator.publish.report.timeline_lane import WIDE, Band, Page, Style, loose_bands, solid_bands

_GAP = 10
"""Between two lanes."""

_TICKS = tuple(
    [n * SECOND for n in (1, 2, 5, 10, 15, 30)] + [n * MINUTE for n in (1, 2, 5, 10, 15, 30)] + [HOUR, 2 * HOUR]
)
_TICK_ROOM = 85
"""At least so much from one tick to the next."""

_HEAD = 18
"""Room for the name of a lane above it."""


class ReportLane(msgspec.Struct, frozen=True):
    """One facet: its name and where that stands, where it starts and how high it is, its bands, whether they are
    events.
    """

    name: str
    name_y: float
    y: float
    height: float
    bands: tuple[Band, ...]
    has_moments: bool


class Tick(msgspec.Struct, frozen=True):
    x: float
    text: str


class Timeline(msgspec.Struct, frozen=True):
    """The picture: lanes over an axis, with the borders between recordings."""

    width: float
    gutter: float
    height: float
    axis_y: float
    lanes: tuple[ReportLane, ...]
    ticks: tuple[Tick, ...]
    borders: tuple[float, ...]


def timeline(case: Case, keys: Mapping[str, str], language: str = "en", page: Page = WIDE) -> Timeline:
    """Lay out every facet that has tags; `keys` are the letters and numbers of the table, by notation."""
    style = Style(case.duration, case_colours(case), keys, language, page)
    lanes: list[ReportLane] = []
    y = float(_GAP)
    for facet in case.vocabulary.facets:
        found = visits(case, facet.name)
        if not found:
            continue
        y += 0 if page.gutter else _HEAD
        bands = (solid_bands if facet.exclusive else loose_bands)(style, found, y)
        lowest = max(band.y + band.height for band in bands)
        name = one_line(label_in(facet.label, language) or facet.name)
        name_y = y + 16 if page.gutter else y - 5
        lanes.append(ReportLane(name, name_y, y, lowest - y, tuple(bands), facet.moments))
        y = max([lowest, *(band.text_y + 4 for band in bands if band.text)]) + _GAP
    every = _tick(case.duration, page)
    ticks = tuple(Tick(style.x(at), span(at)) for at in range(0, case.duration + 1, every))
    borders = tuple(style.x(at) for at in case.borders[1:-1])
    return Timeline(page.width, page.gutter, y + 28, y + 2, tuple(lanes), ticks, borders)


def _tick(duration: Ms, page: Page) -> Ms:
    """The shortest handy length whose ticks have room for their times."""
    most = int((page.width - page.gutter) // _TICK_ROOM)
    return next((tick for tick in _TICKS if duration / tick <= most), duration // most)
