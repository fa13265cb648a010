"""The instruments, from light pipe to laser probe: each draws its own tip on a steel shaft."""

from collections.abc import Callable
from enum import StrEnum
from math import pi
from typing import NamedTuple

import numpy as np

from .pixels import Colour, Grid, Picture, colour
from .shafts import Line, Pixels, Shaft, Shine, glow, lay, pixels_of, steel

RADIUS = 0.0235
"""Of every shaft, in eye radii: about 25 gauge, drawn a little stout to read well."""


class Kind(StrEnum):
    LIGHT_PIPE = "light pipe"
    CUTTER = "cutter"
    FORCEPS = "forceps"
    DIATHERMY = "diathermy"
    CANNULA = "extrusion cannula"
    LASER = "laser probe"


class Pose(NamedTuple):
    """What an instrument does at a moment.

    action  0 to 1: jaws closed, blade running, current on, laser firing, light on
    beat    a number that changes with every frame, for what moves too fast to see
    """

    band: Shaft
    shine: Shine
    action: float
    beat: float


def draw(picture: Picture, grid: Grid, kind: Kind, pose: Pose) -> None:
    """Draw one instrument over the picture."""
    _DRAW[kind](picture, grid, pose)


def _tube(at: Pixels, from_tip: float = 0.0, rounded: float = 1.0) -> Line:
    """Cover of a tube that begins `from_tip` behind the tip with an end rounded over so many half-widths."""
    along = at.along - from_tip
    cap = np.maximum(-along + rounded * at.half, 0) / max(rounded, 1e-3)
    outside = np.where(along < rounded * at.half, np.hypot(at.across, cap) - at.half, np.abs(at.across) - at.half)
    return at.cover(outside.astype(np.float32))


def _dimmed(light: Colour, share: float) -> Colour:
    return light[0] * share, light[1] * share, light[2] * share


def _light_pipe(picture: Picture, grid: Grid, pose: Pose) -> None:
    band = pose.band
    at = pixels_of(grid, band, band.tip_half, 0)
    paint = steel(at, at.across, at.half, pose.shine, band.length, (0.46, 0.48, 0.52))
    near = np.exp(-at.along / (1.6 * band.tip_half))
    paint += (2.2 * pose.action * near)[:, None] * colour((1.0, 0.96, 0.84))
    paint *= (1 - 0.55 * np.exp(-(((at.along - 5.5 * band.tip_half) / (1.8 * band.tip_half)) ** 2)))[:, None]
    lay(picture, at, paint, _tube(at, rounded=0.25))
    size = band.tip_half
    glow(picture, grid, band.point(-0.3 * size), 2.0 * size, _dimmed((1.0, 0.95, 0.82), 0.9 * pose.action))
    glow(picture, grid, band.tip, 7.0 * size, _dimmed((1.0, 0.86, 0.62), 0.16 * pose.action))


def _cutter(picture: Picture, grid: Grid, pose: Pose) -> None:
    band = pose.band
    at = pixels_of(grid, band, band.tip_half, 0)
    paint = steel(at, at.across, at.half, pose.shine, band.length)
    half = band.tip_half
    side = 0.30 * pose.shine.side * half
    window = np.hypot((at.along - 2.3 * half) / (1.25 * half), (at.across + side) / (0.55 * half))
    lip = np.exp(-(((window - 1.1) / 0.16) ** 2))
    paint += (0.55 * pose.shine.tip * lip)[:, None] * colour((0.9, 0.92, 1.0))
    hole = np.clip((1 - window) * half / at.pixel + 0.5, 0, 1)
    blade = 0.5 + 0.5 * np.sin(pose.beat * 2.4) if pose.action > 0.05 else 0.0
    inner = np.where(at.along < (1.2 + 2.2 * blade) * half, 0.16, 0.012)
    paint += (inner[:, None] * colour((0.75, 0.78, 0.85)) - paint) * hole[:, None]
    lay(picture, at, paint, _tube(at))


def _forceps(picture: Picture, grid: Grid, pose: Pose) -> None:
    """Two bowed jaws out of a tube; `action` 1 is closed."""
    band = pose.band
    half = band.tip_half
    reach = 8.0 * half
    opening = (1 - pose.action) * 2.3 * half
    at = pixels_of(grid, band, 1.5 * half, 3.4 * half)
    share = np.clip(at.along / reach, 0, 1)
    bow = opening * (1 - share**1.7) + 0.55 * half * np.sin(pi * share)
    thick = half * (0.26 + 0.34 * share)
    for side in (-1.0, 1.0):
        across = at.across - side * (bow + 0.22 * half * (1 - share))
        paint = steel(at, across, thick, pose.shine, band.length, (0.66, 0.69, 0.74))
        end = np.maximum(-at.along, at.along - reach * 1.06)
        lay(picture, at, paint, at.cover(np.maximum(np.abs(across) - thick, end).astype(np.float32)))
    tube = pixels_of(grid, band, 0, 0)
    paint = steel(tube, tube.across, tube.half, pose.shine, band.length)
    lay(picture, tube, paint, _tube(tube, reach * 0.94, 0.3))


def _diathermy(picture: Picture, grid: Grid, pose: Pose) -> None:
    """A blunt needle out of an insulating sleeve; a pale fizz at the tip when the current is on."""
    band = pose.band
    half = band.tip_half
    at = pixels_of(grid, band, half, 0)
    width = np.clip(0.20 + at.along / (9 * half), 0.2, 0.62) * half
    paint = steel(at, at.across, width, pose.shine, band.length, (0.72, 0.66, 0.52))
    lay(picture, at, paint, at.cover(np.maximum(np.abs(at.across) - width, -at.along).astype(np.float32)))
    sleeve = steel(at, at.across, at.half, pose.shine, band.length, (0.16, 0.20, 0.30))
    lay(picture, at, sleeve, _tube(at, 5.0 * half, 0.5))
    if pose.action > 0.02:
        fizz = pose.action * (0.35 + 0.15 * np.sin(pose.beat * 3.1))
        glow(picture, grid, band.tip, 1.3 * half, (0.55 * fizz, 0.52 * fizz, 0.50 * fizz))


def _cannula(picture: Picture, grid: Grid, pose: Pose) -> None:
    """A steel tube with a soft milky tip."""
    band = pose.band
    half = band.tip_half
    at = pixels_of(grid, band, half, 0)
    soft = 0.66 * at.half
    s = np.clip(at.across / soft, -1, 1)
    milk = (0.20 + 0.30 * np.abs(s) ** 2 + 0.35 * np.exp(-(((s - 0.4 * pose.shine.side) / 0.2) ** 2))) * pose.shine.tip
    paint = milk[:, None] * colour((0.95, 0.93, 0.90)) + 0.35 * colour(pose.shine.glow)
    cover = at.cover(np.maximum(np.abs(at.across) - soft, -at.along).astype(np.float32))
    lay(picture, at, paint.astype(np.float32), 0.82 * cover)
    mouth = at.cover(np.hypot(at.along / 0.5, at.across) - 0.5 * half)
    lay(picture, at, np.full_like(paint, 0.03, np.float32), 0.7 * mouth)
    tube = steel(at, at.across, at.half, pose.shine, band.length)
    lay(picture, at, tube, _tube(at, 4.2 * half, 0.3))


def _laser(picture: Picture, grid: Grid, pose: Pose) -> None:
    """A steel tube with the fibre's end showing; it flashes green when it fires."""
    band = pose.band
    half = band.tip_half
    at = pixels_of(grid, band, half, 0)
    fibre = 0.42 * at.half
    paint = np.full((len(at.along), 3), 0.30, np.float32) * pose.shine.tip
    paint += np.exp(-at.along / half)[:, None] * (
        colour((0.5, 0.05, 0.04)) + 2.0 * pose.action * colour((0.3, 1.0, 0.45))
    )
    lay(picture, at, paint, at.cover(np.maximum(np.abs(at.across) - fibre, -at.along).astype(np.float32)))
    lay(picture, at, steel(at, at.across, at.half, pose.shine, band.length), _tube(at, 2.2 * half, 0.4))
    if pose.action > 0.02:
        glow(picture, grid, band.tip, 2.2 * half, (0.15 * pose.action, 0.65 * pose.action, 0.25 * pose.action))


_DRAW: dict[Kind, Callable[[Picture, Grid, Pose], None]] = {
    Kind.LIGHT_PIPE: _light_pipe,
    Kind.CUTTER: _cutter,
    Kind.FORCEPS: _forceps,
    Kind.DIATHERMY: _diathermy,
    Kind.CANNULA: _cannula,
    Kind.LASER: _laser,
}
