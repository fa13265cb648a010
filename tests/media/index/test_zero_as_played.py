"""That the player shows each frame at the time the index says: the same zero, in containers that begin late."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from tests.media.films import FILMS, TURNED, Films

pytest.importorskip("PySide6.QtMultimedia", reason="the window is not installed", exc_type=ImportError)

from pytestqt.qtbot import QtBot

from tests.seen_frames import SeenFrames

WANTED = 5

# What Qt says of hardware that a machine without screen and sound has not.
NO_SUCH_HARDWARE = (
    "Couldn't (load|resolve) .*(library|symbols)",
    "PulseAudioService",
    "No audio device",
    "No RHI backend",
)


@pytest.fixture
def played(qtbot: QtBot) -> Iterator[Callable[[Path], list[int]]]:
    """The times of the first frames that the player hands to its sink, in microseconds."""
    frames = SeenFrames()
    times: list[int] = []
    frames.seen.connect(lambda frame: times.append(frame.startTime()))

    def play(path: Path) -> list[int]:
        frames.load(str(path))
        frames.player.play()
        qtbot.waitUntil(lambda: len(times) >= WANTED, timeout=20_000)
        frames.player.stop()
        return times[:WANTED]

    yield play
    frames.close()


NAMES = [name for name in FILMS if not name.startswith((*TURNED, "hours", "av1"))]
"""Rotation does not matter here, hours would take hours, and Qt's FFmpeg does not decode AV1 without the hardware."""


@pytest.mark.qt_log_ignore("QFFmpeg::Demuxer received AVPacket", *NO_SUCH_HARDWARE, extend=True)
@pytest.mark.parametrize("name", NAMES)
def test_the_player_counts_from_the_same_zero(name: str, film: Films, played: Callable[[Path], list[int]]) -> None:
    index = read_index(film(name))
    shown = played(film(name))
    assert off_zero(index, shown, 0) or off_zero(index, shown, index.sound_lead), (
        shown,
        index.times[:8],
        index.sound_lead,
    )
    if not name.endswith((".mkv", ".webm")):
        assert off_zero(index, shown, 0)


def off_zero(index: FrameIndex, shown: list[int], lead: int) -> bool:
    """Whether every time is that of a frame if the player counts from `lead` ms before zero.

    The index has the ceiling in ms; a start that FFmpeg rounded may add a millisecond to it.
    """
    times = index.times.tolist()
    return all(any(0 <= (time + lead) * 1_000 - one < 2_000 for time in times) for one in shown)
