"""What lies still in the front view: sclera, iris, cornea, the model's lids and the speculum that holds them."""

from typing import cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from . import noise, vessels
from .pixels import Grid, Mask, Picture, Point, blurred, colour, mix, smoothstep

_SEED = 91
LIMBUS, PUPIL = 0.50, 0.365
APERTURE = (1.30, 0.90)
"""Half-width and half-height of the opening that the speculum holds."""


def _opening(u: Mask, v: Mask) -> Mask:
    """1 on the edge of the opening between the lids, less inside; a little pointed at both corners."""
    half_u, half_v = APERTURE
    return cast(Mask, (np.abs(u / half_u) ** 1.9 + np.abs(v / half_v) ** 2.3).astype(np.float32))


def lids(picture: Picture, u: Mask, v: Mask) -> None:
    """Silicone lids of the model with a wet rim, and the drape around them."""
    rng = np.random.default_rng(_SEED)
    shape, size = picture.shape[:2], picture.shape[1]
    pores = noise.fractal(rng, size, 110, 2, 0.7)[: shape[0], : shape[1]]
    cloud = noise.fractal(rng, size, 7, 3)[: shape[0], : shape[1]]
    edge = _opening(u, v)
    picture *= (1 - 0.75 * smoothstep(0.62, 1.0, edge))[..., None]
    rise = edge - 1
    light = 0.50 + 0.42 * np.exp(-rise / 0.35) + 0.55 * (cloud - 0.5) + 0.42 * (pores - 0.5)
    wet = np.exp(-(((rise - 0.055) / 0.030) ** 2)) * smoothstep(0.42, 0.75, cloud) * 0.75
    skin = light[..., None] * colour((0.40, 0.215, 0.150)) + wet[..., None] * colour((0.85, 0.80, 0.76))
    mix(picture, skin.astype(np.float32), smoothstep(0.985, 1.03, edge))
    weave = 0.80 + 0.5 * (cloud - 0.5) + 0.25 * (pores - 0.5)
    fold = 1 + 0.55 * np.exp(-(((rise - 1.10 + 0.5 * (cloud - 0.5)) / 0.06) ** 2))
    drape = (weave * fold)[..., None] * colour((0.045, 0.115, 0.135))
    mix(picture, drape.astype(np.float32), smoothstep(1.00, 1.10, rise + 0.5 * (cloud - 0.5)))


def speculum(picture: Picture, grid: Grid) -> None:
    """Two bent steel wires that hold the lids apart."""
    half_u, half_v = APERTURE[0] * 0.62, APERTURE[1] * 1.02
    for side in (-1.0, 1.0):
        knots = (
            (-half_u, side * half_v * 0.80),
            (-half_u * 0.55, side * half_v * 1.20),
            (half_u * 0.55, side * half_v * 1.20),
            (half_u, side * half_v * 0.80),
        )
        across, along = hose(grid, knots, 0.021)
        shade = (
            0.16
            + 0.45 * np.sqrt(np.clip(1 - across**2, 0, 1))
            + 0.9 * np.exp(-(((across - 0.25) / 0.22) ** 2)) * (0.5 + 0.5 * np.cos(7 * along))
        )
        picture *= 1 - (0.5 * np.exp(-((across / 2.2) ** 2)))[..., None]
        mix(picture, (shade[..., None] * colour((0.62, 0.65, 0.70))).astype(np.float32), smoothstep(1.06, 0.94, across))


def sclera(picture: Picture, grid: Grid, u: Mask, v: Mask) -> None:
    """The white of the eye, round, with fine vessels toward its edge."""
    rng = np.random.default_rng(_SEED + 1)
    r = np.hypot(u, v * 0.97)
    cloud = noise.fractal(rng, picture.shape[1], 9, 4)[: picture.shape[0], : picture.shape[1]]
    round_off = np.sqrt(np.clip(1 - (r / 1.42) ** 2, 0, 1))
    light = 0.10 + 0.68 * round_off + 0.05 * (-u - v) + 0.34 * (cloud - 0.5)
    paint = light[..., None] * colour((0.72, 0.60, 0.52))
    blush = smoothstep(0.55, 1.15, r) * (0.4 + 0.9 * cloud)
    paint *= np.exp(-0.30 * blush[..., None] * colour((0.15, 1.0, 0.9)))
    growth = vessels.Growth(rng, steer=0.0)
    for turn in np.linspace(0, 2 * np.pi, 34, endpoint=False) + rng.normal(0, 0.09, 34):
        far = float(rng.uniform(0.95, 1.15))
        start = (far * float(np.cos(turn)), far * float(np.sin(turn)))
        heading = float(turn) + np.pi + float(rng.normal(0, 0.35))
        growth.branch(start, heading, float(rng.uniform(0.005, 0.011)), float(rng.uniform(0.25, 0.55)), 3)
    seen = smoothstep(LIMBUS + 0.01, LIMBUS + 0.30, r) * smoothstep(1.16, 0.86, r)
    red = blurred(vessels.thickness(grid, growth.found), grid.scale * 0.0022) * seen
    paint *= np.exp(-red[..., None] * colour((0.18, 0.80, 0.75)))
    picture[:] = paint


def iris(picture: Picture, u: Mask, v: Mask) -> None:
    """Grey-blue iris of the model, wide pupil, and the soft grey rim of the cornea."""
    rng = np.random.default_rng(_SEED + 2)
    d = np.hypot(u, v)
    fibres = noise.polar(rng, u, v, 150, 9)
    folds = noise.polar(rng, u, v, 46, 4)
    paint = (0.45 + 0.75 * fibres + 0.55 * (folds - 0.5))[..., None] * colour((0.115, 0.072, 0.038))
    paint = paint + (0.35 * smoothstep(PUPIL + 0.07, PUPIL, d) * fibres)[..., None] * colour((0.10, 0.055, 0.022))
    paint *= (1 - 0.55 * smoothstep(LIMBUS - 0.07, LIMBUS, d))[..., None]
    mix(picture, colour((0.17, 0.155, 0.145)), 0.85 * smoothstep(LIMBUS + 0.055, LIMBUS - 0.02, d))
    mix(picture, paint.astype(np.float32), smoothstep(LIMBUS + 0.015, LIMBUS - 0.055, d))
    mix(picture, colour((0.008, 0.006, 0.006)), smoothstep(PUPIL + 0.006, PUPIL - 0.006, d))


def cornea(picture: Picture, u: Mask, v: Mask) -> None:
    """The microscope's two lamps mirrored in the wet cornea, a broad soft gleam, and tears along the edge."""
    for x0, size, strength in ((-0.105, 0.034, 1.6), (0.085, 0.026, 0.9)):
        square = ((u - x0) / size) ** 4 + ((v + 0.135 + 0.02 * x0) / size) ** 4
        picture += (np.float32(strength) / (1 + square**1.6))[..., None] * colour((1.0, 0.97, 0.90))
    gleam = np.exp(-(((np.hypot(u + 0.05, v + 0.03) - 0.40) / 0.035) ** 2)) * np.clip(-u - v, 0, 1) ** 2
    picture += (0.20 * gleam)[..., None] * colour((0.9, 0.95, 1.0))
    wet = np.exp(-(((np.hypot(u, v) - 0.80) / 0.05) ** 2)) * np.clip(np.cos(np.arctan2(v, u) + 2.45), 0, 1) ** 14
    picture += (0.28 * wet)[..., None] * colour((1.0, 0.98, 0.94))


def hose(grid: Grid, knots: tuple[Point, Point, Point, Point], half: float) -> tuple[Mask, Mask]:
    """Distance from a cubic curve in half-widths, and how far along it (0 at the port): for all pixels."""
    t = np.linspace(0, 1, 160)[:, None]
    a, b, c, d = (np.array(knot) for knot in knots)
    curve = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d
    small = Grid(max(grid.width // 4, 1), max(grid.height // 4, 1), grid.scale / 4)
    u, v = small.axes()
    squared = np.stack([(u - x) ** 2 + (v - y) ** 2 for x, y in curve])
    nearest = squared.argmin(0)
    across = np.sqrt(squared.min(0)) / half
    size = (grid.width, grid.height)
    return (
        cast(Mask, cv2.resize(across.astype(np.float32), size, interpolation=cv2.INTER_LINEAR)),
        cast(Mask, cv2.resize((nearest / 159).astype(np.float32), size, interpolation=cv2.INTER_LINEAR)),
    )
