"""The retina chart as geometry and in words; whoever draws it only draws.

A disc of radius 1 around (0, 0), x to the right and y down as on a screen. Angles are degrees clockwise from
straight up. Clock hours are counted as the examiner faces the eye: 12 is up, 3 on the right, for either eye; the
nose is then on the right of a right eye and on the left of a left one. A surgeon at the head of the table sees
all of it turned by 180 degrees (common practice, no source).
"""

from collections.abc import Iterable
from enum import StrEnum
from math import atan2, cos, degrees, hypot, radians, sin
from typing import NamedTuple

from annotator.model.case import Eye
from annotator.model.place import HOURS, ZONES, Field, Place, runs

FIELDS = tuple(Field(hour, zone) for zone in ZONES for hour in HOURS)
"""Every field of the chart, zones outward, hours clockwise from 1."""

ZONE_EDGES = (0.0, 0.5, 0.76, 1.0)
"""Radius at which each zone begins, and where the last ends: for the hand, not to the scale of an eye."""

_STEP = 360 / len(HOURS)


class View(StrEnum):
    """Which way round the chart stands."""

    UPRIGHT = "upright"
    SURGEON = "as the surgeon sits"


class Point(NamedTuple):
    x: float
    y: float


class Wedge(NamedTuple):
    """A field's outline: between two radii, from one angle clockwise to another."""

    inner: float
    outer: float
    start: float
    end: float


class Sides(NamedTuple):
    """The letters at the left and right of the chart: N nasal, T temporal; empty for an eye not given."""

    left: str
    right: str


def point(radius: float, angle: float) -> Point:
    """Where a radius meets an angle."""
    return Point(radius * sin(radians(angle)), -radius * cos(radians(angle)))


def angle_of(hour: int, view: View) -> float:
    """The angle at which a clock hour stands, 0 to under 360."""
    return (hour * _STEP + (180 if view is View.SURGEON else 0)) % 360


def wedge(field: Field, view: View) -> Wedge:
    """The outline of a field; its hour is in the middle. The start may be below 0."""
    zone, middle = ZONES.index(field.zone), angle_of(field.hour, view)
    return Wedge(ZONE_EDGES[zone], ZONE_EDGES[zone + 1], middle - _STEP / 2, middle + _STEP / 2)


def centre(field: Field, view: View) -> Point:
    """A point well within a field, for a mark or a figure; towards the rim where the field tapers to a tip."""
    inner, outer = wedge(field, view)[:2]
    return point((inner + outer) / 2 if inner else outer * 0.72, angle_of(field.hour, view))


def field_at(x: float, y: float, view: View) -> Field | None:
    """The field under a point, or None outside the chart."""
    radius = hypot(x, y)
    if radius >= ZONE_EDGES[-1]:
        return None
    zone = next(zone for zone, edge in zip(ZONES, ZONE_EDGES[1:], strict=True) if radius < edge)
    turned = degrees(atan2(x, -y)) - angle_of(12, view)
    return Field(round(turned / _STEP - 1) % 12 + 1, zone)


def sides(eye: Eye | None, view: View) -> Sides:
    """Where nose and temple are."""
    if eye is None:
        return Sides("", "")
    nose_is_right = (eye is Eye.RIGHT) == (view is View.UPRIGHT)
    return Sides("T", "N") if nose_is_right else Sides("N", "T")


def beside(field: Field, clockwise: int = 0, outward: int = 0) -> Field:
    """The field so many hours clockwise and so many zones outward, the innermost and outermost being the last."""
    zone = min(max(ZONES.index(field.zone) + outward, 0), len(ZONES) - 1)
    return Field((field.hour + clockwise - 1) % 12 + 1, ZONES[zone])


# --- in words ----------------------------------------------------------------------------------------------


def field_in_words(field: Field) -> str:
    """Such as `5 o'clock, mid-periphery`."""
    return f"{field.hour} o'clock, {field.zone}"


def place_in_words(place: Place) -> str:
    """Such as `4–6 o'clock, mid-periphery and posterior`; zones of the same hours together, the outermost first."""
    zones_of: dict[str, list[str]] = {}
    for zone in reversed(ZONES):
        hours = [field.hour for field in place if field.zone == zone]
        if hours:
            zones_of.setdefault(_hours_in_words(hours), []).append(zone)
    return "; ".join(f"{hours}, {_listed(zones)}" for hours, zones in zones_of.items()) or "no place given"


def view_in_words(eye: Eye | None, view: View) -> str:
    """Such as `left eye, upright`."""
    return f"{'eye not given' if eye is None else f'{eye} eye'}, {view}"


def _hours_in_words(hours: list[int]) -> str:
    if len(hours) == len(HOURS):
        return "all round"
    spans = [f"{first}" if first == last else f"{first}–{last}" for first, last in runs(hours)]
    return f"{_listed(spans)} o'clock"


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
