"""The narration of every sample can be read while it is heard: limits of captions, each with its source."""

from itertools import pairwise
from pathlib import Path

import pytest
import webvtt

from annotator.model.timecode import parse
from sample_media.render import truth
from tests.sample.conftest import BUNDLED

NARRATIONS = sorted(BUNDLED.rglob("*.vtt"))


def seconds(stamp: str) -> float:
    return parse(stamp) / 1000


def captions(path: Path) -> list[webvtt.Caption]:
    return list(webvtt.read(str(path)).captions)


def length(caption: webvtt.Caption) -> float:
    return seconds(caption.end) - seconds(caption.start)


@pytest.mark.parametrize("path", NARRATIONS, ids=lambda path: str(path.relative_to(BUNDLED)))
class TestLimits:
    def test_two_lines_of_42_characters(self, path: Path) -> None:
        # University of Tennessee Knoxville Libraries, Timed Text Style Guide: 2 lines, 42 characters a line.
        for caption in captions(path):
            lines = caption.text.splitlines()
            assert len(lines) <= 2 and max(map(len, lines)) <= 42, caption.text

    def test_20_characters_a_second(self, path: Path) -> None:
        # Netflix, Timed Text Style Guide, English: 20 characters a second for adult programmes.
        for caption in captions(path):
            assert len(caption.text) <= 20 * length(caption), caption.text

    def test_180_words_a_minute(self, path: Path) -> None:
        # BBC Subtitle Guidelines: 160 to 180 words a minute.
        for caption in captions(path):
            assert len(caption.text.split()) <= 3 * length(caption), caption.text

    def test_from_five_sixths_of_a_second_to_seven(self, path: Path) -> None:
        # University of Tennessee Knoxville Libraries, Timed Text Style Guide: 0.8333 s to 7 s.
        for caption in captions(path):
            assert 5 / 6 <= length(caption) <= 7, caption.text

    def test_two_frames_between_captions(self, path: Path) -> None:
        # Netflix, Timed Text Style Guide: 2 frames at least; of 30000/1001 frames a second here.
        for before, after in pairwise(captions(path)):
            assert seconds(after.start) - seconds(before.end) >= 2 * 1001 / 30_000, after.text


def test_a_long_caption_is_broken_where_its_lines_are_the_most_even() -> None:
    assert truth.in_lines("A short one.") == "A short one."
    assert truth.in_lines("Core vitrectomy: the cutter's port in view, let the gel come.").splitlines() == [
        "Core vitrectomy: the cutter's",
        "port in view, let the gel come.",
    ]
