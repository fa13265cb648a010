"""What happens where and when at the hole, in seconds of the script and field units, drawn as a left eye upright."""

from dataclasses import dataclass
from math import cos, radians, sin

from ..pixels import Point, ease
from ..vessels import DISC, FOVEA

HOLE: Point = FOVEA
HOLE_RADIUS, CUFF_RADIUS = 0.023, 0.046
PEELED = 0.150
"""How far from the hole the inner limiting membrane is peeled."""

INFUSION: tuple[Point, Point] = ((0.795, 0.470), (1.25, 0.74))
"""The infusion cannula's end as it shows at the edge of the wide view: its tip and where it comes from."""

HYALOID = (17.4, 22.2)
AIR = (52.4, 57.8)
LAKE: Point = (DISC[0] + 0.03, DISC[1] + 0.01)
"""Where the last fluid stands: over the disc, away from the flap."""

DYE_FROM, DYE_FULL, DYE_CLEARING, DYE_CLEAR = 25.3, 26.8, 27.6, 29.2


@dataclass(frozen=True)
class Piece:
    """A sector of the peeled membrane that is folded over along a straight line which travels across it.

    turn, half   where the sector lies about the hole and half its width, in degrees (temporal 0, inferior 90)
    way          in which direction the fold travels, in degrees
    first, last  where the fold begins and where it ends, along its way from the hole's middle
    grip         where the forceps hold the edge, across the way
    grasp, free  when it is taken and when the fold is at its end
    """

    turn: float
    half: float
    way: float
    first: float
    last: float
    grip: float
    grasp: float
    free: float

    @property
    def along(self) -> Point:
        return cos(radians(self.way)), sin(radians(self.way))

    def fold(self, t: float) -> float:
        """How far along its way the fold has come."""
        share = min(max((t - self.grasp) / (self.free - self.grasp), 0.0), 1.0)
        return self.first + (self.last - self.first) * (0.35 * share + 0.65 * ease(0.0, 1.0, share))

    def laid(self, t: float) -> float:
        """How far the folded part reaches ahead of the fold, as a share of its length."""
        return 0.08 + 0.22 * ease(self.grasp, self.grasp + 0.8, t)

    def edge(self, t: float) -> Point:
        """Where the free edge is at the forceps."""
        fold = self.fold(t)
        reach = fold + self.laid(t) * (fold - self.first)
        (x, y), across = self.along, self.grip
        return HOLE[0] + x * reach - y * across, HOLE[1] + y * reach + x * across


@dataclass(frozen=True)
class Flap(Piece):
    """The piece that stays: peeled up to the hole's edge, then turned over the hole and let go."""

    turned: tuple[float, float] = (0.0, 1.0)

    def laid(self, t: float) -> float:
        return super().laid(t) + 0.72 * ease(*self.turned, t)


@dataclass(frozen=True)
class Taken(Piece):
    """A piece that comes free and is carried off by `pull` until it is gone."""

    gone: float = 0.0
    pull: Point = (0.0, 0.0)

    def tip(self, t: float) -> Point:
        """Where the forceps are with the piece."""
        u, v = self.edge(t)
        away = ease(self.free, self.gone, t)
        return u + self.pull[0] * away, v + self.pull[1] * away


TAKEN = (
    Taken(-95.0, 49.0, 176.0, -0.112, 0.125, 0.085, 31.0, 34.0, 34.8, (0.02, -0.12)),
    Taken(178.0, 43.0, 84.0, -0.112, 0.108, 0.085, 35.6, 38.2, 39.0, (0.04, -0.10)),
    Taken(91.0, 45.0, -6.0, -0.112, 0.108, 0.085, 39.8, 42.2, 43.0, (0.08, -0.08)),
)
"""Three pieces in a ring about the hole: superior, nasal, inferior."""

FLAP = Flap(0.0, 46.5, 180.0, -0.150, -0.036, 0.004, 43.8, 46.4, (46.8, 49.6))
"""The temporal piece, which hangs on at the hole's edge."""

LET_GO = 49.8
