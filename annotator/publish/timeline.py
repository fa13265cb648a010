"""The whole case as one picture: where each band, mark and name of the timeline stands, in units of its own width.

Nothing is told by colour alone: a band carries its name where that fits, else the key that it has in the
table below the picture, and every band has its name and times as a title.
"""

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from annotator.formats.one_line import one_line
from annotator.measure.durations import Visit, visits
from annotator.model.case import Case
from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms, span
from annotator.model.vocabulary import Facet, label_in
from annotator.publish.lengths import length
from annotator.publish.phase_colours import PLAIN, Colour, phase_colours
from annotator.publish.table import columns

WIDTH = 1200
GUTTER = 104
"""Room for the names of the lanes, on the left."""

_SOLID, _ROW, _GAP, _KEYS = 26, 22, 10, 16
"""Heights: a lane of an exclusive facet, one row of another, the space between, the line of keys below a lane."""

_LETTER, _PADDING = 6.6, 14
"""Width of a letter at the size of names, and the room around a name."""

_MOST_ROWS = 6
_TICKS = tuple(
    [n * SECOND for n in (1, 2, 5, 10, 15, 30)] + [n * MINUTE for n in (1, 2, 5, 10, 15, 30)] + [HOUR, 2 * HOUR]
)


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


class Lane(msgspec.Struct, frozen=True):
    """One facet: its name, where it starts, how high it is, its bands, and whether they are events."""

    name: str
    y: float
    height: float
    bands: tuple[Band, ...]
    has_moments: bool


class Tick(msgspec.Struct, frozen=True):
    x: float
    text: str


class Timeline(msgspec.Struct, frozen=True):
    """The picture: lanes over an axis, with the borders between recordings."""

    height: float
    axis_y: float
    lanes: tuple[Lane, ...]
    ticks: tuple[Tick, ...]
    borders: tuple[float, ...]


def timeline(case: Case, keys: Mapping[str, str], language: str = "en") -> Timeline:
    """Lay out every facet that has tags; `keys` are the letters and numbers of the table, by notation."""
    colours = phase_colours(case.vocabulary)
    lanes: list[Lane] = []
    y = float(_GAP)
    for facet in case.vocabulary.facets:
        found = visits(case, facet.name)
        if found:
            draw = _Drawing(case, colours, keys, language, y)
            bands = draw.solid(found) if facet.exclusive else draw.rows(found)
            lowest = max(band.y + band.height for band in bands)
            bottom = max(lowest, *(band.text_y + 4 for band in bands))
            lanes.append(Lane(_name(facet, language), y, lowest - y, tuple(bands), facet.moments))
            y = bottom + _GAP
    ticks = tuple(Tick(_x(case, at), span(at)) for at in range(0, case.duration + 1, _tick(case.duration)))
    borders = tuple(_x(case, at) for at in case.borders[1:-1])
    return Timeline(y + 28, y + 2, tuple(lanes), ticks, borders)


class _Drawing:
    """One lane in the making."""

    def __init__(
        self, case: Case, colours: Mapping[str, Colour], keys: Mapping[str, str], language: str, y: float
    ) -> None:
        self._case, self._colours, self._keys, self._language, self._y = case, colours, keys, language, y

    def solid(self, found: Sequence[Visit]) -> list[Band]:
        """Bands in one row, those that overlap in more; a key that does not fit stands below all, near its band."""
        bands: list[Band] = []
        free = float(GUTTER)
        rows = _rows_of(found)
        keys_y = self._y + (max(rows) + 1) * _SOLID + _KEYS - 3
        for visit, row in zip(found, rows, strict=True):
            x, end = _x(self._case, visit.start), _x(self._case, visit.end)
            name, key = self._label(visit), self._keys.get(visit.concept.notation, "")
            width = max(end - x, 1.5)
            text = next((one for one in (_joined(key, name), key) if one and _wide(one) <= width), "")
            band = self._band(visit, x, self._y + row * _SOLID, width, _SOLID)
            if text or not key:
                bands.append(_with_text(band, text, x + width / 2, band.y + 17, "middle"))
                continue
            at = max(x + width / 2, free + len(key) * 3.5)
            free = at + len(key) * 3.5 + 5
            fits = at < WIDTH and at - x < 40
            below = _with_text(band, key if fits else "", at, keys_y, "middle")
            bands.append(msgspec.structs.replace(below, outside=True))
        return bands

    def rows(self, found: Iterable[Visit]) -> list[Band]:
        """Bands and marks in as many rows as their names need; names inside where they fit, else beside."""
        bands: list[Band] = []
        reached: list[float] = []
        for visit in found:
            x, end = _x(self._case, visit.start), _x(self._case, visit.end)
            name = self._label(visit)
            moment = visit.end == visit.start
            width = 0 if moment else max(end - x, 2)
            inside = _wide(name) <= width
            after = 9 if moment else width + 5
            right = x + (width if inside else after + columns(name) * _LETTER)
            left_of_it = not inside and right > WIDTH
            start = x - (12 + columns(name) * _LETTER if left_of_it else 6 if moment else 0)
            end_x = max(x + width + 8, right if not left_of_it else 0)
            row = next((at for at, taken in enumerate(reached) if taken <= start), len(reached))
            if row >= _MOST_ROWS:
                row, name = min(range(_MOST_ROWS), key=reached.__getitem__), ""
            reached[row : row + 1] = [end_x]
            y = self._y + row * _ROW
            text_x, anchor = (x + width / 2, "middle") if inside else (x + after, "start")
            if left_of_it:
                text_x, anchor = x - 9, "end"
            band = self._band(visit, x, y + 2, width, _ROW - 4)
            placed = _with_text(band, name, text_x, y + 15, anchor)
            bands.append(msgspec.structs.replace(placed, moment=moment, outside=not inside))
        return bands

    def _band(self, visit: Visit, x: float, y: float, width: float, height: float) -> Band:
        colour = self._colours.get(visit.concept.iri, PLAIN)
        when = f"{length(visit.start)} to {length(visit.end)}" if visit.end > visit.start else length(visit.start)
        return Band(round(x, 2), y, round(width, 2), height, colour.fill, _ink(colour), f"{self._label(visit)}, {when}")

    def _label(self, visit: Visit) -> str:
        return one_line(visit.concept.label(self._language))


def _rows_of(found: Sequence[Visit]) -> list[int]:
    """For each visit the first row in which nothing else is under way; all 0 where no two overlap."""
    ends: list[Ms] = []
    rows: list[int] = []
    for visit in found:
        row = next((at for at, end in enumerate(ends) if end <= visit.start), len(ends))
        ends[row : row + 1] = [visit.end]
        rows.append(row)
    return rows


def _ink(colour: Colour) -> str:
    return "light" if colour.ink == "#ffffff" else "dark"


def _with_text(band: Band, text: str, x: float, y: float, anchor: str) -> Band:
    return msgspec.structs.replace(band, text=text, text_x=round(x, 2), text_y=y, anchor=anchor)


def _joined(key: str, name: str) -> str:
    return f"{key} {name}" if key else name


def _wide(text: str) -> float:
    return columns(text) * _LETTER + _PADDING


def _x(case: Case, at: Ms) -> float:
    return GUTTER + (WIDTH - GUTTER) * at / max(case.duration, 1)


def _tick(duration: Ms) -> Ms:
    """The shortest distance of a handy length that gives at most a dozen ticks."""
    return next((tick for tick in _TICKS if duration / tick <= 12), 10 * HOUR)


def _name(facet: Facet, language: str) -> str:
    return one_line(label_in(facet.label, language) or facet.name)
