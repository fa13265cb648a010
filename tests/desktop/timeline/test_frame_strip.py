"""The very frames of the film strip, and a copy that goes while some are waited for."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.playback.frame_numbers import FrameNumbers
from annotator.desktop.timeline.frame_strip import FrameStrip
from annotator.media.index.reader import read_index
from annotator.media.write.review_copy import ReviewCopy, write_review_copy
from annotator.workflow.frames import CaseFrames
from tests.publish.numbered import case_of

HEIGHT = 36


@pytest.fixture
def copied(recording: Path, tmp_path: Path) -> ReviewCopy:
    return write_review_copy(recording, read_index(recording), tmp_path / "copy.mp4")


@pytest.fixture
def strip(recording: Path, copied: ReviewCopy, qapp: QApplication) -> Iterator[FrameStrip]:
    case = case_of(recording)
    made = FrameStrip(FrameNumbers(case, CaseFrames(case, {0: read_index(recording)})), qapp)
    made.use_copy(0, copied)
    yield made
    made.close()


def test_a_frame_comes_that_was_asked_for(strip: FrameStrip, qtbot: QtBot) -> None:
    assert strip.at(1_000, HEIGHT) is None
    qtbot.waitUntil(lambda: strip.at(1_000, HEIGHT) is not None, timeout=10_000)


def test_frames_of_a_copy_that_has_gone_meanwhile_are_not_waited_for(
    strip: FrameStrip, copied: ReviewCopy, qtbot: QtBot
) -> None:
    for at in (1_000, 2_000, 3_000):
        assert strip.at(at, HEIGHT) is None
    strip.use_copy(0, None)
    qtbot.waitUntil(lambda: strip._under_way is None, timeout=10_000)
    strip.use_copy(0, copied)
    strip.begin()
    qtbot.waitUntil(lambda: strip.at(2_000, HEIGHT) is not None, timeout=10_000)
