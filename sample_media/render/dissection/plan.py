"""What happens where and when in the dissection, in seconds of the script and field units."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin

from ..pixels import Point

INFUSION: tuple[Point, Point] = ((0.795, 0.470), (1.25, 0.74))
"""The infusion cannula's end as it shows at the edge of the field, about 4 o'clock: its tip and where it comes from."""

# The fibrovascular membrane lies along the inferotemporal arcade, about 5 o'clock in the mid-periphery.
MEMBRANE: Point = (0.33, 0.49)
ALONG: Point = (0.93, 0.36)
HALF_LENGTH, HALF_WIDTH = 0.31, 0.175
CUTS = (-0.5, 0.02, 0.5)
MIDDLES = (-0.76, -0.25, 0.26, 0.75)
"""Where on the membrane's length the middle of each of the four pieces lies."""

CUT_TIMES = ((39.6, 41.6), (42.3, 44.1), (44.8, 46.5))


def on_membrane(q: float, p: float) -> Point:
    """Field position of a point of the membrane: q along it and p across it, both from -1 to 1 at its edge."""
    return (
        MEMBRANE[0] + ALONG[0] * q * HALF_LENGTH - ALONG[1] * p * HALF_WIDTH,
        MEMBRANE[1] + ALONG[1] * q * HALF_LENGTH + ALONG[0] * p * HALF_WIDTH,
    )


@dataclass(frozen=True)
class Lift:
    """How one piece of the membrane comes away: grasped, peeled off its bed, and taken by the cutter."""

    piece: int
    grasp: float
    free: float
    gone: float
    grip: Point
    pull: Point


# The second piece of the row comes first, the outermost last; its end tears a small break.
LIFTS = (
    Lift(1, 48.3, 50.9, 51.9, on_membrane(-0.30, -0.55), (-0.02, -0.17)),
    Lift(2, 61.3, 62.9, 63.5, on_membrane(0.26, -0.50), (-0.03, -0.15)),
    Lift(0, 63.7, 64.9, 65.4, on_membrane(-0.78, -0.35), (-0.05, -0.14)),
    Lift(3, 65.6, 66.8, 67.4, on_membrane(0.72, -0.40), (0.00, -0.16)),
)

BLEED: Point = on_membrane(0.16, 0.25)
BLEED_FROM, BLEED_FULL, BLEED_CLEARING, BLEED_CLEAR = 52.8, 55.6, 56.4, 59.3
BREAK: Point = (0.53, 0.57)
BREAK_AT = 66.2
FLATTENS = (70.6, 76.2)
DYE_FROM, DYE_FULL, DYE_CLEARING, DYE_CLEAR = 32.7, 34.6, 35.3, 37.2
HYALOID = (23.4, 29.6)
AIR = (70.0, 77.0)
OIL = (89.2, 95.3)
LAKE: Point = (-0.18, 0.02)
"""Where the last fluid stands, in front of the disc, and where the oil begins."""


def _burns() -> tuple[tuple[float, Point], ...]:
    """Times and places of the laser spots: three rows around the break, left out where they would run off."""
    found: list[tuple[float, Point]] = []
    t = 79.0
    for row, (radius, count) in enumerate(((0.082, 15), (0.122, 21), (0.162, 27))):
        for i in range(count):
            turn = 2 * pi * (i + 0.5 * (row % 2) + 0.16 * sin(3.7 * i + row)) / count + 2.2
            uneven = radius * (1 + 0.055 * sin(5.1 * i + 2 * row))
            u, v = BREAK[0] + uneven * cos(turn) * 1.12, BREAK[1] + uneven * sin(turn) * 0.96
            if hypot(u, v) < 0.95:
                found.append((t, (u, v)))
                t += 0.126
        t += 0.35
    return tuple(found)


BURNS = _burns()
