"""Which instruments come into the eye, through which port, when, and where their tips go.

Seconds of the script and field units, as in the stage directions of an operation.
"""

from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from math import cos, sin

from .instruments import Kind
from .motion import Key, Path
from .optics import Place, Target
from .pixels import ease


class Hand(Enum):
    """The port that an instrument comes through: superonasal (left in the picture) or superotemporal."""

    LEFT = (-0.66, -0.40, 0.62)
    RIGHT = (0.66, -0.40, 0.62)

    @property
    def port(self) -> Place:
        return self.value


@dataclass(frozen=True)
class Visit:
    """One instrument's stay in the eye.

    keys    where its tip goes; the ways in and out are added
    active  spans of script time in which jaws are closed, the blade runs, the current is on
    roam    how far the tip circles about its path, in field units
    """

    kind: Kind
    hand: Hand
    keys: tuple[Key, ...]
    active: tuple[tuple[float, float], ...] = ()
    roam: float = 0.0

    @cached_property
    def path(self) -> Path:
        side = -1.0 if self.hand is Hand.LEFT else 1.0
        outside = (side * 1.28, -0.66, 0.75)
        first, last = self.keys[0], self.keys[-1]
        return Path(((first[0] - 1.0, *outside), *self.keys, (last[0] + 0.8, *outside)))

    def is_in(self, t: float) -> bool:
        return self.path.keys[0][0] < t < self.path.keys[-1][0]

    def tip(self, t: float) -> Target:
        at = self.path.at(t)
        inside = min(
            ease(self.keys[0][0] - 0.6, self.keys[0][0] + 0.3, t),
            ease(self.keys[-1][0] + 0.4, self.keys[-1][0] - 0.2, t),
        )
        roam = self.roam * inside
        return Target(
            at.u + roam * (0.7 * sin(3.1 * t) + 0.3 * sin(7.3 * t + 1)),
            at.v + roam * (0.7 * cos(2.7 * t + 0.5) + 0.3 * sin(6.1 * t)),
            at.height + 0.3 * roam * sin(2.2 * t),
        )

    def action(self, t: float) -> float:
        """0 to 1, with a short ramp at both ends of each active span."""
        return max((min(ease(a - 0.15, a, t), ease(b + 0.15, b, t)) for a, b in self.active), default=0.0)
