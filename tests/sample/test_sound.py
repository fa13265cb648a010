"""The sound can be made in stretches, is there, and never clips."""

import wave
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sample_media.render import sound
from sample_media.render.operations import MODEL_EYE


def samples(path: Path, start: float, seconds: float) -> NDArray[np.int16]:
    sound.write(path, MODEL_EYE.stage, start, seconds, 1.0)
    with wave.open(str(path), "rb") as read:
        assert (read.getnchannels(), read.getsampwidth(), read.getframerate()) == (1, 2, sound.RATE)
        return np.frombuffer(read.readframes(read.getnframes()), "<i2")


def test_a_stretch_is_a_part_of_the_whole(tmp_path: Path) -> None:
    whole, part = samples(tmp_path / "a.wav", 50.0, 12.0), samples(tmp_path / "b.wav", 58.0, 3.0)
    start = 8 * sound.RATE
    assert np.array_equal(whole[start : start + len(part)], part)


def test_it_is_heard_and_does_not_clip(tmp_path: Path) -> None:
    loud = np.abs(samples(tmp_path / "a.wav", 0.0, 105.0).astype(int))
    assert 3000 < loud.max() < 32000
    assert all(loud[at : at + sound.RATE].mean() > 30 for at in range(0, len(loud) - sound.RATE, sound.RATE))
