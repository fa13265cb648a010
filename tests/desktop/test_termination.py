"""The window is told to end, or is killed, while it makes copies and while it publishes."""

import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.desktop.films import film
from tests.running import Watched, annotator, ffmpegs_of, hidden, slow_ffmpeg, surroundings, wait_until

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks for children in /proc")


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Long enough that a review copy is made of it."""
    return film(tmp_path_factory.mktemp("film") / "eye.mp4", 64 * 6, "6")


@pytest.fixture
def folder(drawn: Path, tmp_path: Path) -> Path:
    shutil.copy(drawn, tmp_path / "eye.mp4")
    new = annotator("new", "eye.mp4", "--title", "Eye", "--out", "c.case.jsonld")
    subprocess.run(new, cwd=tmp_path, check=True, env=surroundings(tmp_path / "home"))
    return tmp_path


@pytest.fixture
def window(folder: Path) -> Iterator["subprocess.Popen[bytes]"]:
    """The window in the middle of making a review copy."""
    with opened(folder) as process:
        try:
            wait_until(process, lambda: ffmpegs_of(process) and hidden(folder / "home" / "cache"))
            yield process
        finally:
            process.kill()


def opened(folder: Path) -> "subprocess.Popen[bytes]":
    environment = surroundings(folder / "home", IMAGEIO_FFMPEG_EXE=str(slow_ffmpeg(folder)))
    return subprocess.Popen(annotator("open", "c.case.jsonld"), cwd=folder, env=environment)


def beside(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"home", "slow-ffmpeg"}


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_told_to_end_it_closes_as_by_its_button(
    folder: Path, window: "subprocess.Popen[bytes]", number: signal.Signals
) -> None:
    (ffmpeg,) = map(Watched, ffmpegs_of(window))
    window.send_signal(number)
    assert window.wait() == 128 + number
    assert ffmpeg.has_ended()
    assert hidden(folder) == []
    assert beside(folder) == {"eye.mp4", "c.case.jsonld"}


def test_killed_it_leaves_no_ffmpeg_and_the_next_start_clears_the_rest(
    folder: Path, window: "subprocess.Popen[bytes]"
) -> None:
    (ffmpeg,) = map(Watched, ffmpegs_of(window))
    window.kill()
    assert ffmpeg.has_ended()
    window.wait()
    left = hidden(folder / "home" / "cache")
    assert len(left) == 2
    with subprocess.Popen(annotator("open"), cwd=folder, env=surroundings(folder / "home")) as later:
        wait_until(later, lambda: not hidden(folder / "home" / "cache"))
        later.terminate()
        assert later.wait() == 128 + signal.SIGTERM
