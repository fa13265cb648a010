"""A seek to a time as it stands in the chapter file shows the very frame at which the chapter was set.

Every frame of each recording begins a chapter; the times are read back from the text of the WebVTT file,
asked for in the program's player, and the frame's number is read from the pixels it hands out.
"""

import re
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage
from PySide6.QtMultimedia import QVideoFrame
from pytestqt.qtbot import QtBot

from annotator.desktop.playback.player import Player
from annotator.media.index.reader import read_index
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.timecode import Ms, parse
from annotator.publish.chapter_file import chapter_file
from annotator.workflow.frames import CaseFrames
from tests.desktop.conftest import NO_SUCH_HARDWARE
from tests.desktop.films import film, read_number
from tests.measure.cases import tag, vocabulary
from tests.seen_frames import SeenFrames

pytestmark = pytest.mark.qt_log_ignore(*NO_SUCH_HARDWARE, extend=True)

FRAMES = 120
VARIABLE = ("-vf", "select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr", "-bf", "2")


class Film(NamedTuple):
    """A recording to make: file, frames a second, arguments for FFmpeg, and which of the pictures it keeps."""

    file: str
    rate: str
    args: tuple[str, ...] = ("-bf", "2", "-g", "24")
    numbers: tuple[int, ...] = tuple(range(FRAMES))


FILMS = (
    Film("ntsc.mp4", "30000/1001"),
    Film("ntsc60.mov", "60000/1001"),
    Film("fifty.mp4", "50"),
    Film("film.mp4", "24"),
    Film("film.mkv", "24"),
    Film("variable.mp4", "60", VARIABLE, tuple(n for n in range(FRAMES) if n % 3 == 0 or n % 7 == 1)),
)

BETWEEN = [made for made in FILMS if made.file in ("ntsc.mp4", "ntsc60.mov", "film.mp4")]
"""Recordings with frames that begin between two milliseconds, stamped as exactly as they were made."""


def case_of(path: Path) -> tuple[Case, CaseFrames]:
    """A case in which every frame is a step of its own, two kinds in turn."""
    index = read_index(path)
    edges = [*map(int, index.times), index.end]
    tags = [
        tag("core" if number % 2 else "shave", start, end, number)
        for number, (start, end) in enumerate(pairwise(edges))
    ]
    recordings = (Recording("urn:r", path.name, "", index.end),)
    case = Case("urn:c", "seek", vocabulary(), recordings, in_order(tags))
    return case, CaseFrames(case, {0: index})


def written_starts(case: Case) -> list[Ms]:
    text, notes = chapter_file(case)
    assert notes == ()
    return [parse(time) for time in re.findall(r"^(\S+) -->", text, re.MULTILINE)]


def number_on(picture: object) -> int:
    image = picture.toImage() if isinstance(picture, QVideoFrame) else picture
    assert isinstance(image, QImage)
    return read_number(image, QRect(0, 0, image.width(), image.height()))


@pytest.mark.parametrize("made", FILMS, ids=lambda made: made.file)
def test_the_players_picture_is_the_tagged_frame(made: Film, tmp_path: Path, qtbot: QtBot) -> None:
    path = film(tmp_path / made.file, FRAMES, made.rate, *made.args)
    case, frames = case_of(path)
    starts = written_starts(case)
    assert len(starts) == len(made.numbers)
    player = Player()
    with qtbot.waitSignal(player.shown, timeout=20_000):
        player.open(case, frames, [path])
    from_sink = 0
    # An order in which neighbours are far apart: each seek is a new one, and none is a step.
    for at in sorted(range(len(starts)), key=lambda number: number * 7 % len(starts)):
        with qtbot.waitSignal(player.shown, timeout=20_000) as shown:
            player.seek(starts[at])
        picture, time = shown.args
        assert (number_on(picture), time) == (made.numbers[at], starts[at])
        from_sink += isinstance(picture, QVideoFrame)
    player.close()
    if made.numbers == tuple(range(FRAMES)):
        assert from_sink == len(starts), "at a constant rate the picture is the player's own, never a still"


@pytest.mark.parametrize("made", BETWEEN, ids=lambda made: made.file)
def test_a_bare_player_shows_it_too_where_the_time_was_rounded_up(made: Film, tmp_path: Path, qtbot: QtBot) -> None:
    """QMediaPlayer asked for the written time itself, without any aid of the program.

    Asked for the very instant at which a frame begins, to the microsecond, Qt's player keeps the frame
    before; so frames that begin on a whole millisecond are not asked for here.
    """
    path = film(tmp_path / made.file, FRAMES, made.rate, *made.args)
    case, _ = case_of(path)
    numerator, _, denominator = made.rate.partition("/")
    starts = written_starts(case)
    begins_between = [at for at in range(FRAMES) if at * 1000 * int(denominator or 1) % int(numerator)]
    frames = SeenFrames()
    with qtbot.waitSignal(frames.seen, timeout=20_000):
        frames.load(str(path))
        frames.player.pause()
    for at in sorted(begins_between, key=lambda number: number * 7 % FRAMES):
        with qtbot.waitSignal(frames.seen, timeout=20_000) as shown:
            frames.player.setPosition(starts[at])
        assert number_on(shown.args[0]) == at
    frames.close()
