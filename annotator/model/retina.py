"""The retina chart as geometry and in words; whoever draws it only draws.

A disc of radius 1 around (0, 0), x to the right and y down as on a screen. Angles are degrees clockwise from
straight up. Clock hours are counted as the examiner faces the eye: 12 is up, 3 on the right, for either eye; the
nose is then on the right of a right eye and on the left of a left one. A surgeon at the head of the table sees
all of it turned by 180 degrees (common practice, no source).
"""

from collections.abc import Iterable
from math import atan2, cos, degrees, hypot, radians, sin
from typing import NamedTuple, TypeAlias

from annotator.model.place import ARCADES, AREAS, FIELDS, HOURS, NO_HOUR, PARTS, ZONES, Eye, Field, Place, runs
from annotator.model.recording import View as View

EDGES = {
    "posterior": (0.0, 0.59),
    "mid-periphery": (0.59, 0.8),
    "equator": (0.785, 0.815),
    "far periphery": (0.8, 1.0),
    "ora": (0.985, 1.015),
    "pars plana": (1.03, 1.065),
}
"""Radii between which each zone lies: for the hand, not to the scale of an eye. Some are no more than a line."""

FOVEA, MACULA, DISC = 0.085, 0.2, 0.085
"""Radii; fovea and macula lie around the middle, and over the fields of the posterior pole, as the disc does."""

LAYERS: tuple[tuple[Field, ...], ...] = (
    tuple(field for field in FIELDS if field.zone in AREAS),
    *((Field(NO_HOUR, part),) for part in ("macula", "fovea", "disc")),
    tuple(field for field in FIELDS if field.zone in ARCADES or field.zone in {*ZONES} - {*AREAS}),
)
"""All fields, in layers that lie one over the other: areas, the round parts, lines."""

_DISC_OUT, _ARCADE = 0.31, (0.41, 0.45)
_ARCADE_HALF = 40
_STEP = 360 / len(HOURS)


class Point(NamedTuple):
    x: float
    y: float


class Wedge(NamedTuple):
    """A field's outline: between two radii, from one angle clockwise to another."""

    inner: float
    outer: float
    start: float
    end: float


class Round(NamedTuple):
    """The outline of a named part that is a circle."""

    middle: Point
    radius: float


Outline: TypeAlias = Wedge | Round


class Sides(NamedTuple):
    """The letters at the left and right of the chart: N nasal, T temporal; empty for an eye not given."""

    left: str
    right: str


def point(radius: float, angle: float) -> Point:
    """Where a radius meets an angle."""
    return Point(radius * sin(radians(angle)), -radius * cos(radians(angle)))


def angle_of(hour: float, view: View) -> float:
    """The angle at which a clock hour stands, 0 to under 360."""
    return ((-1 if view.is_mirrored else 1) * hour * _STEP + (180 if view.is_turned else 0)) % 360


def outline(field: Field, view: View, eye: Eye | None) -> Outline | None:
    """The outline of a field; its hour is in the middle. The start of a wedge may be below 0.

    None for disc and arcades where nobody says which eye it is.
    """
    if field.zone in ZONES:
        return _around(EDGES[field.zone], angle_of(field.hour, view), _STEP / 2)
    if field.zone in ("fovea", "macula"):
        return Round(Point(0, 0), FOVEA if field.zone == "fovea" else MACULA)
    if eye is None:
        return None
    nose = 3 if eye is Eye.RIGHT else 9
    if field.zone == "disc":
        return Round(point(_DISC_OUT, angle_of(nose, view)), DISC)
    is_right = (nose == 3) == field.zone.endswith("nasal arcade")
    hour = (1.5 if is_right else 10.5) if field.zone.startswith("super") else (4.5 if is_right else 7.5)
    return _around(_ARCADE, angle_of(hour, view), _ARCADE_HALF)


def is_area(field: Field) -> bool:
    """Whether a field is wide enough to be drawn while it is free, and pointed to; others are lines."""
    return field.zone in AREAS or (field.hour == NO_HOUR and field.zone not in ARCADES)


def centre(field: Field, view: View, eye: Eye | None = None) -> Point | None:
    """A point well within a field, for a mark or a figure, that no other field covers; None as for `outline`."""
    found = outline(field, view, eye)
    if isinstance(found, Round):
        return Point(0, (FOVEA + MACULA) / 2) if field.zone == "macula" else found.middle
    if found is None:
        return None
    out = (found.inner + found.outer) / 2 if found.inner else found.outer * 0.84
    return point(out, (found.start + found.end) / 2)


def field_at(x: float, y: float, view: View, eye: Eye | None = None) -> Field | None:
    """The area under a point, or None outside the chart."""
    for part in ("fovea", "macula", "disc"):
        found = outline(Field(NO_HOUR, part), view, eye)
        if isinstance(found, Round) and hypot(x - found.middle.x, y - found.middle.y) < found.radius:
            return Field(NO_HOUR, part)
    radius = hypot(x, y)
    zone = next((zone for zone in AREAS if radius < EDGES[zone][1]), None)
    if zone is None:
        return None
    turned = (-1 if view.is_mirrored else 1) * (degrees(atan2(x, -y)) - angle_of(12, view))
    return Field(round(turned / _STEP - 1) % 12 + 1, zone)


def sides(eye: Eye | None, view: View) -> Sides:
    """Where nose and temple are."""
    if eye is None:
        return Sides("", "")
    nose_is_right = (eye is Eye.RIGHT) == (view.is_turned == view.is_mirrored)
    return Sides("T", "N") if nose_is_right else Sides("N", "T")


def beside(field: Field, clockwise: int = 0, outward: int = 0) -> Field:
    """The field so many hours clockwise or so many zones outward, the outermost being the last.

    Inward of the posterior pole is the macula, then the fovea; round from there go the parts with a name.
    """
    if field.hour == NO_HOUR:
        if outward > 0:
            return Field(NO_HOUR, "macula") if field.zone == "fovea" else Field(12, ZONES[0])
        inward = "fovea" if field.zone == "macula" and outward else field.zone
        return Field(NO_HOUR, PARTS[(PARTS.index(inward) + clockwise) % len(PARTS)])
    zone = ZONES.index(field.zone) + outward
    if zone < 0:
        return Field(NO_HOUR, "macula")
    return Field((field.hour + clockwise - 1) % 12 + 1, ZONES[min(zone, len(ZONES) - 1)])


def mirror(place: Place) -> Place:
    """The place at the same side of the nose in the other eye; parts with a name go by anatomy already."""
    return frozenset(field if field.hour == NO_HOUR else Field((-field.hour) % 12 or 12, field.zone) for field in place)


def depends_on_eye(place: Place) -> bool:
    """Whether a place lies at another side of the nose in the other eye."""
    return mirror(place) != place


def at_hour(field: Field, hour: int) -> Field:
    """The field of the same zone at a clock hour; from a part with a name, that of the posterior pole."""
    return Field(hour, ZONES[0] if field.hour == NO_HOUR else field.zone)


def _around(radii: tuple[float, float], middle: float, half: float) -> Wedge:
    return Wedge(*radii, middle - half, middle + half)


# --- in words ----------------------------------------------------------------------------------------------


def field_in_words(field: Field) -> str:
    """Such as `5 o'clock, mid-periphery`, or `macula`."""
    return field.zone if field.hour == NO_HOUR else f"{field.hour} o'clock, {field.zone}"


def place_in_words(place: Place) -> str:
    """Such as `4–6 o'clock, mid-periphery and posterior`; zones of the same hours together, the outermost first.

    Parts with a name stand before them.
    """
    zones_of: dict[str, list[str]] = {}
    for zone in reversed(ZONES):
        hours = [field.hour for field in place if field.zone == zone]
        if hours:
            zones_of.setdefault(_hours_in_words(hours), []).append(zone)
    parts = [part for part in PARTS if Field(NO_HOUR, part) in place]
    said = [*([_listed(parts)] if parts else []), *(f"{hours}, {_listed(zones)}" for hours, zones in zones_of.items())]
    return "; ".join(said) or "no place given"


VIEWS = {
    View.UPRIGHT: "upright",
    View.TURNED: "as the surgeon sits",
    View.MIRRORED: "mirrored",
    View.TURNED_AND_MIRRORED: "as the surgeon sits, mirrored",
}


def view_in_words(eye: Eye | None, view: View) -> str:
    """Such as `left eye, upright`."""
    return f"{'eye not given' if eye is None else f'{eye} eye'}, {VIEWS[view]}"


def _hours_in_words(hours: list[int]) -> str:
    if len(hours) == len(HOURS):
        return "all round"
    spans = [f"{first}" if first == last else f"{first}–{last}" for first, last in runs(hours)]
    return f"{_listed(spans)} o'clock"


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
