"""How the visits of one facet are drawn in a lane of the timeline: bands, marks, names and keys."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import msgspec

from annotator.measure.durations import Visit
from annotator.model.timecode import Ms
from annotator.plain_text import one_line
from annotator.publish.report.phase_colours import PLAIN, CaseColours
from annotator.publish.report.table import columns
from annotator.publish.report.wording import length


class Page(NamedTuple):
    """How wide a picture is, in pixels of CSS, and the room on the left of it for the names of the lanes; where there
    is none they stand above them. A lane grows to `most_rows`; what finds no room there has its name only as a title.
    """

    width: float
    gutter: float
    most_rows: int


WIDE, NARROW = Page(1200, 104, 6), Page(340, 0, 14)
"""For a window, and for a telephone."""

_SOLID, _ROW, _KEYS = 26, 22, 13
"""Heights: of a band of an exclusive facet, of a row of another, and from a lane to its line of keys."""

_LETTER, _PADDING, _APART = 6.6, 14, 4
"""Width of a letter at the size of names, the room around a name in its band, and the room beside a band."""

_MARK = 6
"""Half the width of the mark of a moment."""


class Band(msgspec.Struct, frozen=True):
    """One visit as drawn: a rectangle, or a mark where it has no length; `text` stands at `text_x`."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    ink: str
    title: str
    text: str = ""
    text_x: float = 0
    text_y: float = 0
    anchor: str = "start"
    moment: bool = False
    outside: bool = False


class Style(NamedTuple):
    """What a lane is drawn with: the length of the case, its colours, keys by notation, the language,
    the page.
    """

    duration: Ms
    colours: CaseColours
    keys: Mapping[str, str]
    language: str
    page: Page

    def x(self, at: Ms) -> float:
        """Where a time stands."""
        width, gutter, _ = self.page
        return gutter + (width - gutter) * at / max(self.duration, 1)

    def name(self, visit: Visit) -> str:
        return one_line(visit.concept.label(self.language))


def solid_bands(style: Style, found: Sequence[Visit], y: float) -> list[Band]:
    """Of an exclusive facet: bands in one row, those that overlap in more.

    A band holds its key and name, or its key alone; a key that does not fit stands below all rows, as
    near to its band as others leave room.
    """
    rows = _first_free_rows(found)
    keys_y = y + (max(rows) + 1) * _SOLID + _KEYS
    free = style.page.gutter
    bands: list[Band] = []
    for visit, row in zip(found, rows, strict=True):
        band = _band(style, visit, y + row * _SOLID, _SOLID, narrowest=1.5)
        middle = band.x + band.width / 2
        key = style.keys.get(visit.concept.notation, "")
        texts = (f"{key} {style.name(visit)}".strip(), key)
        text = next((one for one in texts if one and _wide(one) <= band.width), "")
        if text or not key:
            bands.append(_named(band, text, middle, band.y + 17, "middle"))
            continue
        half = len(key) * _LETTER / 2
        at = max(middle, free + half)
        free = at + half + _APART
        near = at + half <= style.page.width and at - middle < 40
        bands.append(_named(band, key if near else "", at, keys_y, "middle", outside=True))
    return bands


def loose_bands(style: Style, found: Iterable[Visit], y: float) -> list[Band]:
    """Of any other facet: bands and marks in as many rows as they and their names need."""
    reached: list[float] = []
    bands: list[Band] = []
    for visit in found:
        bare = _band(style, visit, y + 2, _ROW - 4, narrowest=2)
        place = _name_place(style.page, style.name(visit), bare)
        row = next((at for at, taken in enumerate(reached) if taken <= place.left), len(reached))
        if row == style.page.most_rows:
            row = min(range(row), key=reached.__getitem__)
            place = place._replace(text="", right=bare.x + bare.width)
        reached[row : row + 1] = [max(place.right, *reached[row : row + 1], 0) + 2 * _APART]
        down = msgspec.structs.replace(bare, y=bare.y + row * _ROW)
        bands.append(_named(down, place.text, place.x, down.y + 13, place.anchor, outside=place.anchor != "middle"))
    return bands


class _NamePlace(NamedTuple):
    """Where a name stands, and from where to where it and its band take room."""

    text: str
    x: float
    anchor: str
    left: float
    right: float


def _name_place(page: Page, name: str, band: Band) -> _NamePlace:
    """In the band, else after it, else, near the right edge, before it, else nowhere."""
    left, right = (band.x - _MARK, band.x + _MARK) if band.moment else (band.x, band.x + band.width)
    letters = columns(name) * _LETTER
    if _wide(name) <= band.width:
        return _NamePlace(name, band.x + band.width / 2, "middle", left, right)
    if right + _APART + letters <= page.width:
        return _NamePlace(name, right + _APART, "start", left, right + _APART + letters)
    if left - _APART - letters >= page.gutter:
        return _NamePlace(name, left - _APART, "end", left - _APART - letters, right)
    return _NamePlace("", left, "end", left, right)


def _first_free_rows(found: Sequence[Visit]) -> list[int]:
    """For each visit the first row in which nothing else is under way; all 0 where no two overlap."""
    ends: list[Ms] = []
    rows: list[int] = []
    for visit in found:
        row = next((at for at, end in enumerate(ends) if end <= visit.start), len(ends))
        ends[row : row + 1] = [visit.end]
        rows.append(row)
    return rows


def _band(style: Style, visit: Visit, y: float, height: float, narrowest: float) -> Band:
    colour = style.colours.of(visit.concept.iri, visit.tag_id) or PLAIN
    moment = visit.end == visit.start
    x = style.x(visit.start)
    width = 0 if moment else max(style.x(visit.end) - x, narrowest)
    when = length(visit.start) if moment else f"{length(visit.start)} to {length(visit.end)}"
    title = f"{style.name(visit)}, {when}"
    ink = "light" if colour.is_deep else "dark"
    return Band(round(x, 2), y, round(width, 2), height, colour.fill, ink, title, moment=moment)


def _named(band: Band, text: str, x: float, y: float, anchor: str, outside: bool = False) -> Band:
    return msgspec.structs.replace(band, text=text, text_x=round(x, 2), text_y=y, anchor=anchor, outside=outside)


def _wide(text: str) -> float:
    return columns(text) * _LETTER + _PADDING
