"""The retina that nothing has happened to yet: how much of each colour it sends back at every point."""

from typing import NamedTuple, cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from . import noise, vessels
from .pixels import Colour, Grid, Mask, Picture, blurred, colour, mix, smoothstep
from .vessels import DISC, FOVEA, Pattern

_SEED = 20


class Look(NamedTuple):
    """What tells one eye's fundus from another's: its vessels, its tone, and whether the foveola shines."""

    vessels: Pattern
    tone: Colour = (1.0, 1.0, 1.0)
    foveola: bool = True


class Fundus(NamedTuple):
    """flat: the attached retina; vessels_alone: what light is left after the vessels, to lay over other tissue."""

    flat: Picture
    through_vessels: Picture


def draw(grid: Grid, look: Look) -> Fundus:
    """The fundus on the grid; drawn at double size and averaged down, so that fine vessels stay smooth."""
    fine = Grid(grid.width * 2, grid.height * 2, grid.scale * 2, grid.middle)
    u, v = fine.axes()
    base = _ground(fine, u, v) * colour(look.tone)
    _nerve_fibres(base, u, v)
    _macula(base, u, v)
    if look.foveola:
        _foveola(base, u, v)
    _disc(base, u, v)
    blood = _vessels(fine, look.vessels)
    base *= blood
    return Fundus(_down(base, grid.width), _down(blood, grid.width))


def _down(picture: Picture, size: int) -> Picture:
    return cast(Picture, cv2.resize(picture, (size, size), interpolation=cv2.INTER_AREA))


def _ground(grid: Grid, u: Mask, v: Mask) -> Picture:
    """Pigment epithelium over choroid: orange, mottled, with wide pale choroidal vessels toward the periphery."""
    rng = np.random.default_rng(_SEED)
    size = grid.width
    radius = np.hypot(u, v)
    cloud = noise.fractal(rng, size, 4, 2)
    grain = noise.fractal(rng, size, 90, 3, 0.7)
    spokes = noise.polar(rng, u - DISC[0] * 0.5, v, 70, 6)
    network = noise.ridged(rng, size, 30, 2, 0.022)
    choroid = blurred(network * (0.35 + 0.9 * spokes), size / 450)
    picture = np.empty((size, size, 3), np.float32)
    picture[:] = colour((0.56, 0.135, 0.034))
    away = smoothstep(0.15, 0.75, np.hypot(u - FOVEA[0], v - FOVEA[1]))
    mix(picture, colour((0.78, 0.255, 0.072)), 0.62 * choroid * (0.25 + 0.75 * away))
    mix(picture, colour((0.30, 0.055, 0.014)), 0.42 * smoothstep(0.45, 0.8, spokes) * away)
    picture *= (0.78 + 0.44 * cloud)[..., None]
    picture *= (0.90 + 0.20 * grain)[..., None]
    picture *= (1.06 - 0.34 * radius**2)[..., None]
    return picture


def _nerve_fibres(picture: Picture, u: Mask, v: Mask) -> None:
    """Fine pale arcs that sweep from the disc above and below the macula, and a soft sheen around the disc."""
    rng = np.random.default_rng(_SEED + 1)
    x, y = u - DISC[0], v - DISC[1]
    bow = y - np.sign(y) * 0.16 * np.clip(x, 0, 1) ** 0.6
    streaks = noise.polar(rng, x, bow.astype(np.float32), 190, 3)
    near = np.exp(-((x / 0.42) ** 2 + (y / 0.36) ** 2))
    sheen = near * (0.05 + 0.09 * (streaks - 0.5)) * smoothstep(0.05, 0.12, np.hypot(u - FOVEA[0], v - FOVEA[1]))
    picture += np.clip(sheen, -0.02, 0.2)[..., None] * colour((0.9, 0.72, 0.50))


def _macula(picture: Picture, u: Mask, v: Mask) -> None:
    """Deeper in tone and a little yellow."""
    d = np.hypot(u - FOVEA[0], (v - FOVEA[1]) * 1.08)
    picture *= 1 - np.exp(-((d / 0.115) ** 2))[..., None] * colour((0.34, 0.46, 0.60))
    picture *= 1 - np.exp(-((d / 0.032) ** 2))[..., None] * colour((0.22, 0.30, 0.30))


def _foveola(picture: Picture, u: Mask, v: Mask) -> None:
    """The ring reflex of the macula's slope and the spark of the foveola."""
    d = np.hypot(u - FOVEA[0], (v - FOVEA[1]) * 1.08)
    ring = np.exp(-(((d - 0.108) / 0.011) ** 2)) * (0.55 + 0.45 * np.cos(np.arctan2(v - FOVEA[1], u - FOVEA[0]) + 2.2))
    picture += 0.045 * ring[..., None] * colour((1.0, 0.85, 0.62))
    spark = np.exp(-((np.hypot(u - FOVEA[0] + 0.006, v - FOVEA[1] + 0.004) / 0.0065) ** 2))
    picture += 0.30 * spark[..., None] * colour((1.0, 0.92, 0.75))


def _disc(picture: Picture, u: Mask, v: Mask) -> None:
    """A pink upright oval with a pale cup toward the temporal side and a thin pale crescent beside it."""
    rng = np.random.default_rng(_SEED + 2)
    edge = (noise.fractal(rng, picture.shape[0], 26, 2) - 0.5) * 0.012
    x, y = u - DISC[0], v - DISC[1]
    d = np.hypot(x / 0.070, y / 0.081) + edge / 0.07
    crescent = smoothstep(1.22, 1.06, np.hypot((x - 0.006) / 0.070, y / 0.080) + edge / 0.07)
    mix(picture, colour((0.70, 0.34, 0.14)), 0.55 * crescent)
    picture *= 1 - 0.22 * np.exp(-(((d - 1.16) / 0.10) ** 2))[..., None]
    rim = smoothstep(1.06, 0.93, d)
    mix(picture, colour((0.86, 0.40, 0.18)), rim)
    cup = smoothstep(0.036, 0.016, np.hypot(x - 0.008, (y - 0.002) / 1.12))
    mix(picture, colour((1.08, 0.88, 0.62)), 0.92 * cup)
    picture -= (0.16 * rim * smoothstep(0.2, 1.0, -x / 0.070))[..., None] * colour((0.2, 0.5, 0.6))
    fibres = noise.polar(rng, x, y, 60, 4)
    picture *= 1 + ((fibres - 0.5) * 0.22 * rim)[..., None]


def _vessels(grid: Grid, pattern: Pattern) -> Picture:
    """What light the vessels leave of each colour; veins darker and wider, arteries with a pale central line."""
    rng = np.random.default_rng(pattern.tree)
    artery, vein = vessels.grown(rng, pattern.arteries), vessels.grown(rng, pattern.veins)
    in_artery, in_vein = vessels.thickness(grid, artery), vessels.thickness(grid, vein)
    left = np.exp(-in_vein[..., None] * colour((0.62, 1.55, 1.45)))
    shade = blurred(in_vein + in_artery, grid.scale * 0.006)
    left *= np.exp(-0.16 * shade[..., None] * colour((0.7, 1.0, 1.0)))
    left *= np.exp(-in_artery[..., None] * colour((0.26, 1.18, 1.28)))
    u, v = grid.axes()
    off_disc = smoothstep(0.03, 0.09, np.hypot(u - DISC[0], v - DISC[1]))
    shine = vessels.thickness(grid, artery, 0.30) * smoothstep(0.35, 0.9, in_artery)
    left += (off_disc * (0.20 * shine + 0.10 * vessels.thickness(grid, vein, 0.22)))[..., None] * colour(
        (0.9, 0.62, 0.5)
    )
    return cast(Picture, left.astype(np.float32))
