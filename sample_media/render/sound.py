"""The sound of the operating room, made from noise and tones: no voice, no music.

One channel, floats from -1 to 1. All is a function of script time, so that any stretch can be made alone.
"""

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TypeAlias, cast
from wave import open as open_wave

import numpy as np
from numpy.typing import NDArray

from .instruments import Kind
from .stage import Stage

RATE = 48_000

_BLOCK = 10 * RATE
_GAIN = 1.6
Samples: TypeAlias = NDArray[np.float64]
Spans: TypeAlias = Sequence[tuple[float, float]]


def write(path: Path, stage: Stage, start: float, seconds: float, stretch: float) -> None:
    """Write 16-bit WAV of `seconds` of recording from `start`; `stretch` is recording time over script time."""
    with open_wave(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        for block in _blocks(stage, start, seconds, stretch):
            out.writeframes((np.clip(_GAIN * block, -1, 1) * 32767).astype("<i2").tobytes())


def _blocks(stage: Stage, start: float, seconds: float, stretch: float) -> Iterator[Samples]:
    first, last = round(start * RATE), round((start + seconds) * RATE)
    for at in range(first, last, _BLOCK):
        yield _mixed(stage, np.arange(at, min(at + _BLOCK, last)), stretch)


def _mixed(stage: Stage, samples: NDArray[np.int64], stretch: float) -> Samples:
    """All layers for these sample numbers of the recording."""
    real = samples / RATE
    t = real / stretch
    room = 0.011 * _noise(0, samples)
    fan = 0.004 * np.sin(2 * np.pi * 118 * real) + 0.002 * np.sin(2 * np.pi * 59.2 * real)
    flow = 0.010 * _noise(1, samples) * _gate(t, [(stage.inside[0] + 1.5, stage.inside[1])], 0.4)
    raised = 0.012 * _noise(3, samples) * _gate(t, stage.sounds.raised, 0.3)
    return room + fan + flow + raised + _played(stage, t, real, samples)


def _played(stage: Stage, t: Samples, real: Samples, samples: NDArray[np.int64]) -> Samples:
    """What is done, as it is heard."""
    hiss = _suction(stage, t, samples)
    return _cutter(stage, t, real) + hiss + _tones(stage, t, real) + _clicks(stage, t, real)


def _cutter(stage: Stage, t: Samples, real: Samples) -> Samples:
    """The blade's hum, its rate rising and falling with the foot on the pedal."""
    gate = _gate(t, [span for visit in stage.visits if visit.kind is Kind.CUTTER for span in visit.active], 0.12)
    if not gate.any():
        return gate
    turns = 92 * real - 9 / 0.9 * np.cos(0.9 * real) - 5 / 2.3 * np.cos(2.3 * real)
    tone = sum(np.sin(2 * np.pi * n * turns + n) / n**1.1 for n in (1, 2, 3, 5, 8, 13))
    return 0.030 * gate * tone * (0.8 + 0.2 * np.sin(2 * np.pi * 3.1 * real))


def _suction(stage: Stage, t: Samples, samples: NDArray[np.int64]) -> Samples:
    """The aspiration line: a hiss while an open tip draws, with a gurgle at the fluid-air exchange."""
    drawing = [span for visit in stage.visits if visit.kind is Kind.CUTTER for span in visit.active]
    drawing += stage.sounds.suction
    hiss = 0.014 * _noise(2, samples) * _gate(t, drawing, 0.2)
    bubbling = np.maximum(np.sin(2 * np.pi * (5.1 * t + 0.7 * np.sin(1.7 * t))), 0) ** 6 * _noise(3, samples)
    return hiss + 0.05 * bubbling * _gate(t, stage.sounds.gurgle, 0.5)


def _tones(stage: Stage, t: Samples, real: Samples) -> Samples:
    """The laser's ready and shot beeps, the diathermy's buzz, two notes when the pressure is changed."""
    shots = [(start, start + 0.07) for start, _ in stage.laser.burns] if stage.laser else []
    total = 0.040 * np.sin(2 * np.pi * 1870 * real) * _gate(t, shots, 0.008)
    total += 0.022 * np.sin(2 * np.pi * 940 * real) * _gate(t, stage.sounds.ready, 0.01)
    buzz = np.sign(np.sin(2 * np.pi * 310 * real)) * 0.3 + np.sin(2 * np.pi * 620 * real)
    current = [span for visit in stage.visits if visit.kind is Kind.DIATHERMY for span in visit.active]
    total += 0.018 * buzz * _gate(t, current, 0.02)
    for at, pitch in stage.sounds.notes:
        total += 0.028 * np.sin(2 * np.pi * pitch * real) * _gate(t, [(at, at + 0.12)], 0.02)
    return total


def _clicks(stage: Stage, t: Samples, real: Samples) -> Samples:
    """A dull knock as each cannula seats, and as it leaves."""
    total = np.zeros_like(t)
    for port in stage.ports:
        for at in (port.placed, port.removed):
            since = np.clip(t - at, 0, 1)
            total += (since > 0) * np.exp(-since * 55) * np.sin(2 * np.pi * 210 * real) * 0.11
    return total


def _gate(t: Samples, spans: Spans, ramp: float) -> Samples:
    """1 within the spans of script time, with ramps of `ramp` seconds inside their ends."""
    total = np.zeros_like(t)
    for start, end in spans:
        if end < t[0] or start > t[-1]:
            continue
        total = np.maximum(total, np.clip(np.minimum(t - start, end - t) / ramp, 0, 1))
    return total


_COLOURS = ((7.3, 30, 500, 1.2), (5.9, 300, 2400, 0.6), (6.7, 900, 6500, 0.3), (4.1, 150, 900, 0.8))
"""For each noise: seconds until it repeats, lower and upper pitch in hertz, how fast it falls toward the upper."""


def _noise(which: int, samples: NDArray[np.int64]) -> Samples:
    sheet = _noise_sheet(which)
    return sheet[samples % len(sheet)]


@cache
def _noise_sheet(which: int) -> Samples:
    """A stretch of noise without a seam, its loudness 1 (root mean square)."""
    seconds, low, high, fall = _COLOURS[which]
    count = int(seconds * RATE)
    pitch = np.fft.rfftfreq(count, 1 / RATE)
    shape = 1 / (1 + (low / np.maximum(pitch, 1)) ** 4) / (1 + (pitch / high) ** 4) / np.maximum(pitch / low, 1) ** fall
    rng = np.random.default_rng(400 + which)
    sound = np.fft.irfft(shape * np.exp(2j * np.pi * rng.random(len(pitch))), count)
    return cast(Samples, sound / np.sqrt(np.mean(sound**2)))
