"""The form of an operation's stage directions: where and when, in seconds of the script and field units.

All is drawn as a left eye that stands upright: 12 o'clock up, the temporal side to the right.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol, TypeAlias

from .motion import Path
from .pixels import Colour, Grid, Picture, Point, ease
from .visits import Visit

Span: TypeAlias = tuple[float, float]


class Lens(NamedTuple):
    """Through what the retina is seen: how large, with which point in the middle, and how stout shafts look."""

    zoom: float
    middle: Point
    stout: float


WIDE = Lens(1.0, (0.0, 0.0), 1.0)
MACULAR = Lens(2.6, (0.07, 0.025), 1.9)


class Scene(NamedTuple):
    """From when the eye is seen through a lens, or from outside (None)."""

    start: float
    lens: Lens | None


class Port(NamedTuple):
    """A cannula through the model's sclera: when it is placed and taken out, and the colour of its collar."""

    at: Point
    placed: float
    removed: float
    collar: Colour


class Gel(NamedTuple):
    """How much of the vitreous floats: at first, and what each span takes away; the beam is hazy until `clears`."""

    amount: float
    losses: tuple[tuple[float, Span], ...]
    clears: Span

    def left(self, t: float) -> float:
        return self.amount - sum(share * ease(*span, t) for share, span in self.losses)


class Exchange(NamedTuple):
    """Fluid for air, the last of it at `lake`, and air for oil where there is any."""

    air: Span
    lake: Point
    oil: Span | None = None


class Bleed(NamedTuple):
    """Where a vessel bleeds, from when, and when it streams the most."""

    at: Point
    begins: float
    full: float


@dataclass(frozen=True)
class Laser:
    """Times and places of the laser spots."""

    burns: tuple[tuple[float, Point], ...]

    def firing(self, t: float) -> tuple[float, Point] | None:
        """How bright the laser's flash is and where, or None between spots."""
        for start, spot in self.burns:
            if 0 <= t - start < 0.09:
                return 1.0 - (t - start) / 0.09, spot
        return None

    def aiming(self, t: float) -> Point | None:
        """Where the aiming beam rests, or None while the laser is not in the eye."""
        if not self.burns[0][0] - 0.7 < t < self.burns[-1][0] + 0.4:
            return None
        path = Path(tuple((start, *spot, 0.0) for start, spot in self.burns))
        at = path.at(t)
        return at.u, at.v


class Sounds(NamedTuple):
    """Sounds that no instrument's visit says: spans, and notes of the machine as time and hertz."""

    suction: Sequence[Span] = ()
    gurgle: Sequence[Span] = ()
    raised: Sequence[Span] = ()
    ready: Sequence[Span] = ()
    notes: Sequence[tuple[float, float]] = ()


class Retina(Protocol):
    """The retina on a canvas, with all that lies on it."""

    def at(self, t: float) -> Picture:
        """A fresh canvas as it is at `t` seconds of the script."""


@dataclass(frozen=True)
class Stage:
    """One operation as it is drawn and heard.

    ports      the infusion first
    infusion   the end of the infusion cannula as it shows at the edge of the field: its tip and where it comes from
    retina     makes the retina for a canvas
    fixed      the port of a fixed light, by its number, and from when to when it shines
    mirrored   the drawn left eye is shown as in a mirror: a right eye that stands turned by 180 degrees
    """

    scenes: tuple[Scene, ...]
    ports: tuple[Port, ...]
    visits: tuple[Visit, ...]
    infusion: tuple[Point, Point]
    gel: Gel
    hyaloid: Span
    exchange: Exchange
    retina: Callable[[Grid], Retina]
    fixed: tuple[int, Span] | None = None
    bleed: Bleed | None = None
    laser: Laser | None = None
    sounds: Sounds = field(default_factory=Sounds)
    mirrored: bool = False

    def fixed_light(self, t: float) -> float:
        """Strength of the fixed light, 0 to 1."""
        if self.fixed is None:
            return 0.0
        _, (start, end) = self.fixed
        return min(ease(start, start + 1.0, t), ease(end, end - 1.0, t))

    @property
    def inside(self) -> Span:
        """From the first look into the eye to the last."""
        looks = [scene.start for scene in self.scenes]
        return looks[1], looks[-1]
