"""Tiny renderings: the same twice, on exact times, numbered, split, repeated, and nothing left when stopped."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest

from annotator.media.pictures.opencv import cv2
from annotator.model.timecode import parse
from sample_media.render.barcode import Bytes, read_frame_number
from sample_media.render.cli import main
from sample_media.render.containers import Refused
from sample_media.render.dissection.script import STEPS
from sample_media.render.hole.plan import HOLE
from sample_media.render.job import make
from sample_media.render.operations import MACULAR_HOLE, MODEL_EYE, Operation
from sample_media.render.picture import Painter
from sample_media.render.stage import MACULAR
from tests.sample.conftest import BOTH, TINY, Made, frame_times, silent, table


def numbers(path: Path) -> Iterator[int]:
    """The numbers drawn on the frames of a file, as decoded by PyAV."""
    with av.open(str(path)) as container:
        for frame in container.decode(video=0):
            yield read_frame_number(frame.to_ndarray(format="gray").astype(np.uint8))


def test_the_same_order_gives_the_same_bytes(tiny: Made, tmp_path: Path) -> None:
    make(replace(tiny.order, out=tmp_path / "eye.mp4"), silent)
    for name in ("eye.mp4", "steps.csv", "narration.vtt"):
        assert (tmp_path / name).read_bytes() == (tiny.folder / name).read_bytes(), name


def test_a_frame_depends_on_its_time_alone() -> None:
    used = Painter(MODEL_EYE.stage, 160, 90)
    for t in (3.0, 45.0, 66.5, 84.0, 92.0):
        used.frame(t, 7)
    for t in (84.5, 50.0):
        np.testing.assert_array_equal(used.frame(t, 9), Painter(MODEL_EYE.stage, 160, 90).frame(t, 9))


def test_numbers_survive_the_encoder(tiny: Made) -> None:
    assert list(numbers(tiny.order.out)) == list(range(tiny.reel.count))


@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv", ".webm", ".avi", ".ts"])
def test_each_container_keeps_the_times_that_the_clock_says(ending: str, tmp_path: Path) -> None:
    order = replace(TINY, out=tmp_path / f"eye{ending}", seconds=1.0)
    reel = make(order, silent)
    # PyAV gives the container's start in whole microseconds.
    for read, told in zip(frame_times(order.out), map(reel.clocks[0].time, range(reel.count)), strict=True):
        assert abs(read - told) < Fraction(1, 500_000)
    assert list(numbers(order.out)) == list(range(reel.count))


@pytest.mark.parametrize("ending", [".mp4", ".mkv", ".ts"])
def test_variable_rate_is_variable(ending: str, tmp_path: Path) -> None:
    order = replace(TINY, out=tmp_path / f"eye{ending}", variable=True)
    reel = make(order, silent)
    times = frame_times(order.out)
    assert len({b - a for a, b in pairwise(times)}) > 3
    for read, told in zip(times, map(reel.clocks[0].time, range(reel.count)), strict=True):
        assert abs(read - told) < Fraction(1, 500_000)
    assert list(numbers(order.out)) == list(range(reel.count))


def test_split_files_follow_each_other_and_break_inside_steps(tmp_path: Path) -> None:
    order = replace(TINY, out=tmp_path / "eye.mp4", split=3, seconds=4.0)
    reel = make(order, silent)
    assert [path.name for path in order.files] == ["eye-1.mp4", "eye-2.mp4", "eye-3.mp4"]
    assert [number for path in order.files for number in numbers(path)] == list(range(reel.count))
    rows = [row for row in table(tmp_path / "steps.csv") if row["step"] in {step.step for step in STEPS}]
    spans = [(parse(row["start"]), parse(row["end"])) for row in rows]
    for first in reel.firsts[1:-1]:
        assert any(start < reel.case_ms(first) < end for start, end in spans)
    boundaries = {reel.case_ms(number) for number in range(reel.count + 1)}
    assert {time for span in spans for time in span} <= boundaries


def test_a_repeated_scene_runs_on_without_a_seam(tmp_path: Path) -> None:
    order = replace(TINY, out=tmp_path / "long.mp4", seconds=1.0, repeats=20)
    scene = make(order, silent).count
    times = frame_times(order.out)
    assert times == [n / order.rate for n in range(20 * scene)]
    assert list(numbers(order.out)) == [n % scene for n in range(20 * scene)]
    with av.open(str(order.out)) as container:
        audio = container.streams.audio[0]
        assert audio.duration is not None and audio.time_base is not None
        assert abs(audio.duration * audio.time_base - 20 * scene / order.rate) < Fraction(1, 10)
    assert [path.name for path in tmp_path.iterdir()] == ["long.mp4"]


def test_key_frames_come_as_often_as_asked(tiny: Made) -> None:
    with av.open(str(tiny.order.out)) as container:
        keys = [n for n, packet in enumerate(container.demux(video=0)) if packet.is_keyframe]
    assert all(b - a <= tiny.order.quality.gop for a, b in pairwise(keys))
    assert len(keys) >= tiny.reel.count / tiny.order.quality.gop


def test_without_sound_there_is_none(tmp_path: Path) -> None:
    order = replace(TINY, out=tmp_path / "eye.mp4", seconds=0.3, sound=False)
    make(order, silent)
    with av.open(str(order.out)) as container:
        assert not container.streams.audio


@pytest.mark.parametrize(("split", "repeats"), [(1, 1), (2, 1), (1, 3)])
def test_stopped_half_way_it_leaves_nothing(split: int, repeats: int, tmp_path: Path) -> None:
    def stop(done: int, total: int) -> None:
        if done > total // 2:
            raise KeyboardInterrupt

    order = replace(TINY, out=tmp_path / "eye.mp4", seconds=1.0, split=split, repeats=repeats)
    with pytest.raises(KeyboardInterrupt):
        make(order, stop)
    assert not list(tmp_path.iterdir())


def test_wishes_that_cannot_be_met_are_refused(tmp_path: Path) -> None:
    for order in (
        replace(TINY, out=tmp_path / "eye.avi", variable=True),
        replace(TINY, out=tmp_path / "eye.gif"),
        replace(TINY, out=tmp_path / "eye.mp4", seconds=0.05, split=9),
        replace(TINY, out=tmp_path / "eye.mp4", split=2, repeats=2),
    ):
        with pytest.raises(Refused):
            make(order, silent)
    assert not list(tmp_path.iterdir())


def test_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "new folder" / "eye.mp4"
    assert main(["--out", str(out), "--seconds", "0.4", "--size", "160x90", "--rate", "25", "--variable-rate"]) == 0
    assert len(frame_times(out)) == 10
    assert "frame 10 of 10" in capsys.readouterr().err
    assert main(["--out", str(tmp_path / "eye.gif")]) == 2
    assert "eye.gif: no such kind" in capsys.readouterr().err


def test_a_single_picture(tmp_path: Path) -> None:
    out = tmp_path / "eye.png"
    assert main(["--out", str(out), "--at", "50.7", "--size", "320x180"]) == 0
    picture = cv2.imread(str(out))
    assert picture is not None
    assert picture.shape == (180, 320, 3)
    assert main(["--out", str(tmp_path / "eye.mp4"), "--at", "1"]) == 2
    blue, _, red = picture[90, 160].astype(int)
    assert red > blue, "a retina is orange"


@cache
def painter_of(operation: Operation) -> Painter:
    """One for all tests here: what lies still is drawn once."""
    return Painter(operation.stage, 640, 360)


@BOTH
def test_every_frame_says_that_it_is_invented(operation: Operation) -> None:
    painter = painter_of(operation)
    for t in (scene.start + 0.5 for scene in operation.stage.scenes):
        picture = painter.frame(t, 0)
        corner = picture[-46:, -150:].astype(int)
        assert (abs(corner - np.median(corner, axis=(0, 1))).max(axis=2) > 60).sum() > 120, t


def hue(picture: Bytes, at: tuple[float, float]) -> float:
    """How much more blue than red there is about a point, in shares of the picture's height from its middle."""
    height, width, _ = picture.shape
    y, x = round(height / 2 + at[1] * height), round(width / 2 + at[0] * height)
    red, _, blue = picture[y - 2 : y + 3, x - 2 : x + 3].reshape(-1, 3).mean(axis=0)
    return float(blue - red)


def at_the_hole(du: float, dv: float) -> tuple[float, float]:
    """Where a point beside the hole shows through the macular lens, the picture being turned over."""
    u, v = ((HOLE[0] + du) - MACULAR.middle[0]) * MACULAR.zoom, ((HOLE[1] + dv) - MACULAR.middle[1]) * MACULAR.zoom
    return u * 0.975 / 2, -v * 0.975 / 2


def test_dye_stays_on_the_membrane_alone_and_the_flap_covers_the_hole() -> None:
    painter = painter_of(MACULAR_HOLE)
    hole, bed, beyond = at_the_hole(0, 0), at_the_hole(0, 0.10), at_the_hole(0, -0.30)
    stained, peeled, turned = (painter.frame(t, 0) for t in (30.0, 43.2, 50.5))
    assert hue(stained, bed) > hue(stained, beyond) + 40, "the membrane is blue, the retina beyond it is not"
    assert hue(stained, hole) < hue(stained, bed) - 40, "no dye in the hole"
    assert hue(peeled, bed) < hue(stained, bed) - 40, "peeled retina is bare"
    assert hue(turned, hole) > hue(peeled, hole) + 40, "the flap lies over the hole"


def test_a_mirrored_left_eye_is_a_right_eye_turned_round() -> None:
    shown = Painter(MACULAR_HOLE.stage, 160, 90)
    drawn = Painter(replace(MACULAR_HOLE.stage, mirrored=False), 160, 90)
    frame, upright = shown.frame(12.0, 0).astype(int), drawn.frame(12.0, 0).astype(int)
    field = np.s_[8:82, 45:110]
    assert abs(frame[field] - upright[::-1][field]).mean() < 2
    assert abs(frame[field] - upright[field]).mean() > 8
