"""Seeded smooth noise: the grain of tissue, fibres and clouds."""

from typing import cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from .pixels import Mask


def smooth(rng: np.random.Generator, shape: tuple[int, int], cells: tuple[float, float]) -> Mask:
    """Noise of about 0 to 1 with `cells` (down, across) random knots, the same at every size of picture."""
    knots = rng.random((int(cells[0]) + 3, int(cells[1]) + 3), dtype=np.float32)
    across = (np.arange(shape[1], dtype=np.float32) + 0.5) / shape[1] * np.float32(cells[1]) + 1
    down = (np.arange(shape[0], dtype=np.float32) + 0.5) / shape[0] * np.float32(cells[0]) + 1
    x, y = np.meshgrid(across, down)
    return cast(Mask, cv2.remap(knots, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT))


def fractal(rng: np.random.Generator, size: int, cells: float, octaves: int, fall: float = 0.5) -> Mask:
    """Several octaves of noise on a square, about 0 to 1 around 0.5."""
    total = np.zeros((size, size), np.float32)
    weight, sum_of_weights = 1.0, 0.0
    for _ in range(octaves):
        total += np.float32(weight) * smooth(rng, (size, size), (cells, cells))
        sum_of_weights += weight
        weight *= fall
        cells *= 2
    return cast(Mask, total / np.float32(sum_of_weights))


def ridged(rng: np.random.Generator, size: int, cells: float, octaves: int = 3, bend: float = 0.06) -> Mask:
    """A network of bright bent ridges, 0 to 1; `bend` is how far it is warped, as a share of the size."""
    shift_x = (fractal(rng, size, cells / 2, 2) - 0.5) * np.float32(2 * bend * size)
    shift_y = (fractal(rng, size, cells / 2, 2) - 0.5) * np.float32(2 * bend * size)
    base = fractal(rng, size, cells, octaves)
    line = np.arange(size, dtype=np.float32)
    warped = cv2.remap(
        base, line[None, :] + shift_x, line[:, None] + shift_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
    )
    return cast(Mask, np.clip(1 - np.abs(warped - 0.5) * 5, 0, 1).astype(np.float32))


def polar(rng: np.random.Generator, u: Mask, v: Mask, spokes: float, rings: float) -> Mask:
    """Noise that runs in spokes away from (0, 0), about 0 to 1."""
    angle = np.arctan2(v, u) / np.float32(2 * np.pi) + 0.5
    radius = np.hypot(u, v)
    sheet = smooth(rng, (256, 2048), (rings, spokes))
    sheet[:, -64:] += (sheet[:, 63::-1] - sheet[:, -64:]) * np.linspace(0, 1, 64, dtype=np.float32)
    return cast(
        Mask,
        cv2.remap(
            sheet,
            (angle * 2047).astype(np.float32),
            (radius * 170).astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REFLECT,
        ),
    )
