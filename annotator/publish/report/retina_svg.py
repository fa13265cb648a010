"""The retina chart of a summary: where each outline, hour and figure stands, tinted by the time spent there.

Nothing is told by the tint alone: each field that has time carries it as a figure, and by name as a title.
"""

from collections.abc import Iterator

import msgspec

from annotator.measure.places import PlaceTimes, time_by_place
from annotator.model.case import Case
from annotator.model.place import AREAS, HOURS, Eye, Field
from annotator.model.retina import (
    LAYERS,
    Outline,
    Point,
    Round,
    View,
    angle_of,
    centre,
    field_in_words,
    is_area,
    outline,
    point,
    sides,
    view_in_words,
)
from annotator.model.timecode import SECOND, Ms
from annotator.publish.report.wording import length

SIZE = 460
"""Width and height of the picture, in its own units."""
_RADIUS = 180
_VIEW = View.UPRIGHT
_TINTS = 4
"""As many as the style sheet has."""


class Shape(msgspec.Struct, frozen=True):
    """One field: its outline as an SVG path, its name and time, its tint from 0 (no time) to 4, its figure.

    is_over  it lies over other fields, whose tint may not shine through
    """

    path: str
    title: str
    tint: int
    figure: str
    x: float
    y: float
    is_over: bool


class FieldMark(msgspec.Struct, frozen=True):
    """A word at a point."""

    text: str
    x: float
    y: float


class RetinaPicture(msgspec.Struct, frozen=True):
    """The whole chart, without the parts whose side nobody says; `words` say all of it."""

    shapes: tuple[Shape, ...]
    hours: tuple[FieldMark, ...]
    letters: tuple[FieldMark, ...]
    view: str
    words: str
    placed: Ms


def retina_picture(case: Case) -> RetinaPicture | None:
    """The chart of a case, upright; None where no time is spent at any place that was said."""
    times = time_by_place(case)
    if not times.fields:
        return None
    letters = sides(case.eye, _VIEW)
    return RetinaPicture(
        shapes=tuple(_shapes(case.eye, times)),
        hours=tuple(_mark(str(hour), *point(1.13, angle_of(hour, _VIEW))) for hour in HOURS),
        letters=tuple(_mark(letter, way * 1.22, 0) for letter, way in zip(letters, (-1, 1), strict=True) if letter),
        view=view_in_words(case.eye, _VIEW),
        words="; ".join(f"{field_in_words(field)}: {length(ms)}" for field, ms in times.fields.items()),
        placed=times.placed,
    )


def _shapes(eye: Eye | None, times: PlaceTimes) -> Iterator[Shape]:
    """Every area, and the lines that have time, from the lowest layer up."""
    for field in (field for layer in LAYERS for field in layer):
        drawn, at = outline(field, _VIEW, eye), centre(field, _VIEW, eye)
        if drawn is not None and at is not None and (is_area(field) or field in times.fields):
            yield _shape(field, times, drawn, at)


def _shape(field: Field, times: PlaceTimes, drawn: Outline, at: Point) -> Shape:
    ms = times.fields.get(field, 0)
    x, y = _pixel(*at)
    tint = -(-_TINTS * ms // max(times.fields.values()))
    title = f"{field_in_words(field)}: {length(ms) if ms else 'no time'}"
    return Shape(_path(drawn), title, tint, _figure(ms) if ms else "", x, y, field.zone not in AREAS)


def _path(drawn: Outline) -> str:
    if isinstance(drawn, Round):
        (x, y), across = _pixel(*drawn.middle), round(drawn.radius * _RADIUS, 2)
        return f"M{x - across:g} {y}a{across} {across} 0 0 1 {2 * across} 0a{across} {across} 0 0 1 {-2 * across} 0Z"
    inner, outer, start, end = drawn
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = (
        _pixel(*point(radius, angle)) for radius, angle in ((inner, start), (outer, start), (outer, end), (inner, end))
    )
    out, back = outer * _RADIUS, inner * _RADIUS
    return f"M{ax} {ay}L{bx} {by}A{out:g} {out:g} 0 0 1 {cx} {cy}L{dx} {dy}A{back:g} {back:g} 0 0 0 {ax} {ay}Z"


def _mark(text: str, x: float, y: float) -> FieldMark:
    return FieldMark(text, *_pixel(x, y))


def _pixel(x: float, y: float) -> tuple[float, float]:
    return round(SIZE / 2 + _RADIUS * x, 2), round(SIZE / 2 + _RADIUS * y, 2)


def _figure(ms: Ms) -> str:
    """Minutes and seconds, short enough for the narrowest field."""
    minutes, seconds = divmod((ms + SECOND // 2) // SECOND, 60)
    return f"{minutes}:{seconds:02d}"
