"""The committed files agree with each other, with the vocabulary and with the program that makes them."""

from itertools import combinations, islice, pairwise
from math import ceil

import av
import numpy as np
import pytest
import webvtt
import yaml

from annotator.model.place import parse_place
from annotator.model.timecode import parse
from sample_media.render import truth
from sample_media.render.clock import Reel
from sample_media.render.job import Order, plan_reel
from sample_media.render.script import EVENTS, NARRATION, STEPS, TEACHING
from tests.sample.conftest import BUNDLED, frame_times, table

VIDEO = BUNDLED / "model-eye.mp4"
ROWS = table(BUNDLED / "steps.csv")


@pytest.fixture(scope="module")
def boundaries() -> set[int]:
    """Frame times by the rule of the house, the first millisecond at or after the exact time, and the end."""
    times = frame_times(VIDEO)
    return {ceil(time * 1000) for time in (*times, times[-1] + (times[-1] - times[-2]))}


@pytest.fixture(scope="module")
def reel() -> Reel:
    return plan_reel(Order(VIDEO))


def test_the_recording_is_small_long_enough_and_plays_anywhere() -> None:
    assert VIDEO.stat().st_size < 6_000_000
    with av.open(str(VIDEO)) as container:
        video, audio = container.streams.video[0], container.streams.audio[0]
        assert container.duration is not None
        assert 90e6 < container.duration < 120e6
        assert (video.codec_context.name, audio.codec_context.name) == ("h264", "aac")
        assert (video.width, video.height, video.codec_context.pix_fmt) == (1280, 720, "yuv420p")
        assert str(video.average_rate) == "30000/1001"
        assert container.start_time == 0


def test_the_index_comes_before_the_pictures() -> None:
    # ISO/IEC 14496-12: boxes of a length and a four-letter type; a player can start before it has read all.
    head = VIDEO.read_bytes()[:65536]
    assert 0 < head.find(b"moov") < head.find(b"mdat") or b"mdat" not in head


def test_it_can_be_heard() -> None:
    with av.open(str(VIDEO)) as container:
        sound = islice(container.decode(audio=0), 200)
        loudest = max(float(np.abs(frame.to_ndarray()).max()) for frame in sound)
    assert 0.01 < loudest < 1


def test_every_time_is_that_of_a_frame(boundaries: set[int]) -> None:
    assert ROWS
    for row in ROWS:
        assert {parse(row["start"]), parse(row["end"])} <= boundaries, row
        assert parse(row["start"]) <= parse(row["end"])


def test_the_narration_is_valid_and_on_frames(boundaries: set[int]) -> None:
    captions = webvtt.read(str(BUNDLED / "narration.vtt")).captions
    assert [caption.text.replace("\n", " ") for caption in captions] == [line.text for line in NARRATION]
    assert len({caption.identifier for caption in captions}) == len(NARRATION)
    for caption in captions:
        assert parse(caption.start) < parse(caption.end)
        assert {parse(caption.start), parse(caption.end)} <= boundaries
    assert all(parse(a.end) <= parse(b.start) for a, b in pairwise(captions))


def test_the_files_are_what_the_program_writes(reel: Reel) -> None:
    assert (BUNDLED / "steps.csv").read_bytes() == truth.steps(reel).encode()
    assert (BUNDLED / "narration.vtt").read_bytes() == truth.narration(reel).encode()
    assert reel.count == len(frame_times(VIDEO))


def test_all_is_marked_as_invented() -> None:
    assert "NOTE\nInvented" in (BUNDLED / "narration.vtt").read_text(encoding="utf-8")
    assert "invented" in (BUNDLED / "README.md").read_text(encoding="utf-8")


def test_the_vocabulary_knows_every_term() -> None:
    vocabulary = yaml.safe_load((BUNDLED.parent / "vocab" / "vitreoretinal.yaml").read_text(encoding="utf-8"))
    facets = {concept["notation"]: concept["facet"] for concept in vocabulary["concepts"]}
    assert {row["step"] for row in ROWS} <= facets.keys()
    for facet in ("phase", "step"):
        spans = [(parse(row["start"]), parse(row["end"])) for row in ROWS if facets[row["step"]] == facet]
        assert all(a[1] <= b[0] or b[1] <= a[0] for a, b in combinations(spans, 2)), f"one {facet} at a time"


def test_the_columns_hold_what_the_program_reads() -> None:
    for row in ROWS:
        assert row["performer"] in ("", "teacher", "trainee", "trainee under guidance")
        assert row["certainty"] in ("certain", "probable", "uncertain")
        parse_place(row["place"])


def test_the_operation_has_what_a_demonstration_needs() -> None:
    assert len({step.step for step in STEPS}) >= 10
    visits = [step for step in STEPS if step.step == "delamination"]
    assert len(visits) == 2
    assert visits[0].end < visits[1].start
    assert any(a.end < b.start for a, b in pairwise(STEPS)), "some time belongs to no step"
    assert len(EVENTS) >= 4
    assert any(event.start == event.end for event in EVENTS)
    assert any(event.start < event.end for event in EVENTS)
    assert {point.step for point in TEACHING} == {"key-manoeuvre", "pitfall"}
