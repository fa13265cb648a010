"""The committed files agree with each other, with the vocabulary and with the program that makes them."""

from itertools import combinations, islice, pairwise
from math import ceil
from pathlib import Path

import av
import numpy as np
import pytest
import webvtt

from annotator.model.place import parse_place
from annotator.model.timecode import parse
from annotator.store.vocabularies import find
from sample_media.render import truth
from sample_media.render.dissection.script import EVENTS, STEPS, TEACHING
from sample_media.render.job import Order, plan_reel
from sample_media.render.operations import MACULAR_HOLE, MODEL_EYE, OPERATIONS, Operation
from tests.sample.conftest import BOTH, BUNDLED, frame_times, table


def rows(operation: Operation) -> list[dict[str, str]]:
    return table(operation.out.with_name("steps.csv"))


def boundaries(video: Path) -> set[int]:
    """Frame times by the rule of the house, the first millisecond at or after the exact time, and the end."""
    times = frame_times(video)
    return {ceil(time * 1000) for time in (*times, times[-1] + (times[-1] - times[-2]))}


@pytest.mark.parametrize(
    ("operation", "megabytes", "seconds"),
    [(MODEL_EYE, 6, (90, 120)), (MACULAR_HOLE, 3, (60, 75))],
    ids=OPERATIONS,
)
def test_the_recording_is_small_long_enough_and_plays_anywhere(
    operation: Operation, megabytes: int, seconds: tuple[int, int]
) -> None:
    assert operation.out.stat().st_size < megabytes * 1_000_000
    with av.open(str(operation.out)) as container:
        video, audio = container.streams.video[0], container.streams.audio[0]
        assert container.duration is not None
        assert seconds[0] < container.duration / 1e6 < seconds[1]
        assert (video.codec_context.name, audio.codec_context.name) == ("h264", "aac")
        assert (video.width, video.height, video.codec_context.pix_fmt) == (1280, 720, "yuv420p")
        assert str(video.average_rate) == "30000/1001"
        assert container.start_time == 0


@BOTH
def test_the_index_comes_before_the_pictures(operation: Operation) -> None:
    # ISO/IEC 14496-12: boxes of a length and a four-letter type; a player can start before it has read all.
    head = operation.out.read_bytes()[:65536]
    assert 0 < head.find(b"moov") < head.find(b"mdat") or b"mdat" not in head


@BOTH
def test_it_can_be_heard(operation: Operation) -> None:
    with av.open(str(operation.out)) as container:
        sound = islice(container.decode(audio=0), 200)
        loudest = max(float(np.abs(frame.to_ndarray()).max()) for frame in sound)
    assert 0.01 < loudest < 1


@BOTH
def test_every_time_is_that_of_a_frame(operation: Operation) -> None:
    found, frames = rows(operation), boundaries(operation.out)
    assert found
    for row in found:
        assert {parse(row["start"]), parse(row["end"])} <= frames, row
        assert parse(row["start"]) <= parse(row["end"])


@BOTH
def test_the_narration_is_valid_and_on_frames(operation: Operation) -> None:
    captions, frames = webvtt.read(str(operation.out.with_name("narration.vtt"))).captions, boundaries(operation.out)
    said = operation.script.narration
    assert [caption.text.replace("\n", " ") for caption in captions] == [line.text for line in said]
    assert len({caption.identifier for caption in captions}) == len(said)
    for caption in captions:
        assert parse(caption.start) < parse(caption.end)
        assert {parse(caption.start), parse(caption.end)} <= frames
    assert all(parse(a.end) <= parse(b.start) for a, b in pairwise(captions))


@BOTH
def test_the_files_are_what_the_program_writes(operation: Operation) -> None:
    reel = plan_reel(Order(operation.out, operation))
    steps, narration = truth.steps(operation.script, reel), truth.narration(operation.script, reel)
    assert operation.out.with_name("steps.csv").read_bytes() == steps.encode()
    assert operation.out.with_name("narration.vtt").read_bytes() == narration.encode()
    assert reel.count == len(frame_times(operation.out))


@BOTH
def test_all_is_marked_as_invented(operation: Operation) -> None:
    assert "NOTE\nInvented" in operation.out.with_name("narration.vtt").read_text(encoding="utf-8")
    assert "invented" in (BUNDLED / "README.md").read_text(encoding="utf-8")
    assert operation.out.name in (BUNDLED / "README.md").read_text(encoding="utf-8")


@BOTH
def test_the_vocabulary_knows_every_term(operation: Operation) -> None:
    facets = {concept.notation: concept.facet for concept in find("vitreoretinal").concepts}
    found = rows(operation)
    assert {row["step"] for row in found} <= facets.keys()
    for facet in ("phase", "step", "view"):
        spans = [(parse(row["start"]), parse(row["end"])) for row in found if facets[row["step"]] == facet]
        assert all(a[1] <= b[0] or b[1] <= a[0] for a, b in combinations(spans, 2)), f"one {facet} at a time"
    assert all(facets[row["step"]] == "material" for row in found if row["strength"])
    moments = {row["step"] for row in found if row["start"] == row["end"]}
    assert {facets[step] for step in moments} <= {"event"}, "only events can be moments"


@BOTH
def test_the_columns_hold_what_the_program_reads(operation: Operation) -> None:
    for row in rows(operation):
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


def test_the_macular_operation_has_what_a_measure_of_peeling_needs() -> None:
    steps = [step.step for step in MACULAR_HOLE.script.steps]
    assert steps.index("inner-limiting-membrane-staining") < steps.index("inner-limiting-membrane-peeling")
    assert steps.index("inner-limiting-membrane-peeling") < steps.index("ilm-flap") < steps.index("fluid-air-exchange")
    assert {(row.step, row.strength) for row in MACULAR_HOLE.script.others if row.strength} == {
        ("brilliant-blue", "0.025 %"),
        ("sf6", "20 %"),
    }
