"""A plot as lines, areas and marks in its own units, for a page; and the scales by which they stand.

Told apart by shape and line, not by colour, so that a print in black and white says the same.
"""

from collections.abc import Iterable, Sequence
from math import ceil, floor, log10
from typing import NamedTuple

import msgspec

from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms

Spot = tuple[float, float]


class Shape(NamedTuple):
    """A path of SVG; `look` is the class that the style sheet draws, `title` what it says when pointed at."""

    look: str
    path: str
    title: str = ""


class Label(NamedTuple):
    """Words at a place; `anchor` as in SVG."""

    x: float
    y: float
    text: str
    anchor: str = "middle"
    look: str = "tick"


class Plot(msgspec.Struct, frozen=True):
    """A picture with a name, and a sentence for whoever can't see it."""

    title: str
    says: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]


class Scale(NamedTuple):
    """From `low` to `high` of a figure to `start` to `end` of the picture."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        whole = self.high - self.low
        share = (min(max(value, self.low), self.high) - self.low) / whole if whole else 0.5
        return round(self.start + share * (self.end - self.start), 2)


def line(spots: Iterable[Spot]) -> str:
    """Straight from each to the next."""
    return "M" + "L".join(f"{x} {y}" for x, y in spots)


def area(upper: Sequence[Spot], lower: Sequence[Spot]) -> str:
    """What lies between two lines."""
    return f"{line([*upper, *reversed(lower)])}Z"


def dot(x: float, y: float, radius: float = 3) -> str:
    across = 2 * radius
    return f"M{x - radius:g} {y:g}a{radius} {radius} 0 1 0 {across} 0a{radius} {radius} 0 1 0 -{across} 0Z"


def diamond(x: float, y: float, half: float = 6) -> str:
    return line([(x - half, y), (x, y - half), (x + half, y), (x, y + half)]) + "Z"


def triangle(x: float, y: float, half: float = 5) -> str:
    return line([(x - half, y + half), (x, y - half), (x + half, y + half)]) + "Z"


def box(left: float, right: float, middle: float, half: float) -> str:
    """Lying, around a height."""
    return line([(left, middle - half), (right, middle - half), (right, middle + half), (left, middle + half)]) + "Z"


def whole_ticks(low: float, high: float, most: int = 8) -> list[int]:
    """Whole numbers between two, at handy distances, at most so many."""
    distance = max((high - low) / most, 1)
    power = 10 ** floor(log10(distance))
    every = next(round(factor * power) for factor in (1, 2, 5, 10) if factor * power >= distance)
    return list(range(ceil(low / every) * every, floor(high) + 1, every))


def time_ticks(longest: Ms, most: int = 5) -> list[Ms]:
    """Times from 0 on at handy distances, the last at `longest` or behind it."""
    handy = [n * unit for unit in (SECOND, MINUTE) for n in (1, 2, 5, 10, 15, 30)]
    every = next((one for one in [*handy, HOUR, 2 * HOUR, 5 * HOUR] if longest / one <= most), 24 * HOUR)
    return list(range(0, longest + every, every))
