"""The retina chart of a summary: where each outline, hour and figure stands, tinted by the time spent there.

Nothing is told by the tint alone: each field that has time carries it as a figure, and by name as a title.
"""

import msgspec

from annotator.measure.places import PlaceTimes, time_by_place
from annotator.model.case import Case
from annotator.model.place import HOURS, Field
from annotator.model.retina import FIELDS, View, angle_of, centre, field_in_words, point, sides, view_in_words, wedge
from annotator.model.timecode import SECOND, Ms
from annotator.publish.report.wording import length

SIZE = 440
"""Width and height of the picture, in its own units."""
_RADIUS = 180
_VIEW = View.UPRIGHT
_TINTS = 4
"""As many as the style sheet has."""
_DISC_AT, _DISC_RADIUS = 0.2, 0.06
"""Where towards the nose the optic disc is drawn, and its size, with the chart's radius as 1."""


class Shape(msgspec.Struct, frozen=True):
    """One field: its outline as an SVG path, its name and time, its tint from 0 (no time) to 4, its figure."""

    path: str
    title: str
    tint: int
    figure: str
    x: float
    y: float


class FieldMark(msgspec.Struct, frozen=True):
    """A word at a point."""

    text: str
    x: float
    y: float


class RetinaPicture(msgspec.Struct, frozen=True):
    """The whole chart; `disc` is the optic disc's place, None for an eye not said; `words` say all of it."""

    shapes: tuple[Shape, ...]
    hours: tuple[FieldMark, ...]
    letters: tuple[FieldMark, ...]
    disc: FieldMark | None
    disc_radius: float
    view: str
    words: str
    placed: Ms


def retina_picture(case: Case) -> RetinaPicture | None:
    """The chart of a case, upright; None where no time is spent at any place that was said."""
    times = time_by_place(case)
    if not times.fields:
        return None
    letters = sides(case.eye, _VIEW)
    nose = {"N": -1, "T": 1}.get(letters.left)
    return RetinaPicture(
        shapes=tuple(_shape(field, times) for field in FIELDS),
        hours=tuple(_mark(str(hour), *point(1.075, angle_of(hour, _VIEW))) for hour in HOURS),
        letters=tuple(_mark(letter, way * 1.17, 0) for letter, way in zip(letters, (-1, 1), strict=True) if letter),
        disc=None if nose is None else _mark("", nose * _DISC_AT, 0),
        disc_radius=_DISC_RADIUS * _RADIUS,
        view=view_in_words(case.eye, _VIEW),
        words="; ".join(f"{field_in_words(field)}: {length(ms)}" for field, ms in times.fields.items()),
        placed=times.placed,
    )


def _shape(field: Field, times: PlaceTimes) -> Shape:
    ms = times.fields.get(field, 0)
    at = _mark("", *centre(field, _VIEW))
    tint = -(-_TINTS * ms // max(times.fields.values()))
    title = f"{field_in_words(field)}: {length(ms) if ms else 'no time'}"
    return Shape(_path(field), title, tint, _figure(ms) if ms else "", at.x, at.y)


def _path(field: Field) -> str:
    inner, outer, start, end = wedge(field, _VIEW)
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
