"""A command that is told to end, or killed, in the middle of writing: no FFmpeg goes on, nothing half-written stays."""

import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import imageio_ffmpeg
import pytest

from tests.running import Watched, annotator, ffmpegs_of, hidden, slow_ffmpeg, surroundings, wait_until

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks for children in /proc")

VERBS = {
    "clips": ("clips", "--out", "out"),
    "copied": ("clips", "--copy", "--out", "out"),
    "embed": ("embed", "--out", "out/talk.mp4"),
    "shared": ("share", "--out", "out/talk"),
    "encoded": ("share", "--mp4", "--out", "out/talk"),
}

Begun = Callable[[str], "subprocess.Popen[bytes]"]


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A case with a tag, on a recording of a minute."""
    folder = tmp_path_factory.mktemp("case")
    film = folder / "eye.mp4"
    picture = ("-f", "lavfi", "-i", "testsrc2=d=60:r=25:s=320x180", "-f", "lavfi", "-i", "sine=d=60")
    how = ("-c:v", "libx264", "-preset", "ultrafast", "-g", "50", "-c:a", "aac")
    subprocess.run([imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", *picture, *how, str(film)], check=True)
    (folder / "tags.csv").write_text("start,end,step\n5,50,core vitrectomy\n")
    for arguments in (("new", film, "--title", "Eye", "--out", "c.case.jsonld"), ("tags", "c.case.jsonld")):
        more = ("--add", "tags.csv") if arguments[0] == "tags" else ()
        subprocess.run(annotator(*arguments, *more), cwd=folder, check=True, env=surroundings(folder / "home"))
    return folder


@pytest.fixture
def folder(drawn: Path, tmp_path: Path) -> Path:
    shutil.copytree(drawn, tmp_path, dirs_exist_ok=True)
    (tmp_path / "out").mkdir()
    return tmp_path


def under_way(folder: Path, verb: str) -> "subprocess.Popen[bytes]":
    """The command, begun."""
    name, *arguments = VERBS[verb]
    environment = surroundings(folder / "home", IMAGEIO_FFMPEG_EXE=str(slow_ffmpeg(folder)))
    return subprocess.Popen(
        annotator(name, "c.case.jsonld", *arguments), cwd=folder, env=environment, stderr=subprocess.PIPE
    )


def written(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*.part*/**/*") if path.is_file()) + sum(
        path.stat().st_size for path in folder.rglob("*.part") if path.is_file()
    )


@pytest.mark.parametrize("late", [False, True], ids=["at once", "while writing"])
@pytest.mark.parametrize(
    ("verb", "number"),
    [*((verb, signal.SIGTERM) for verb in VERBS), ("clips", signal.SIGHUP), ("clips", signal.SIGINT)],
)
def test_told_to_end_it_leaves_nothing(folder: Path, verb: str, number: signal.Signals, late: bool) -> None:
    with under_way(folder, verb) as process:
        wait_until(process, lambda: ffmpegs_of(process) and (written(folder) or not late))
        (ffmpeg,) = map(Watched, ffmpegs_of(process))
        process.send_signal(number)
        assert ffmpeg.has_ended()
        assert process.wait() == 128 + number
        assert process.stderr is not None
        assert b"nothing is left half-written" in process.stderr.read()
    assert [*(folder / "out").iterdir()] == []


@pytest.mark.parametrize("verb", VERBS)
def test_killed_it_leaves_no_ffmpeg_and_the_next_run_clears_the_rest(folder: Path, verb: str) -> None:
    for late in (False, True):
        with under_way(folder, verb) as process:
            wait_until(process, lambda: ffmpegs_of(process) and (written(folder) or not late))  # noqa: B023
            (ffmpeg,) = map(Watched, ffmpegs_of(process))
            process.kill()
            assert ffmpeg.has_ended()
    assert hidden(folder / "out") != []
    subprocess.run(annotator("chapters", "c.case.jsonld", "--out", "out/chapters.vtt"), cwd=folder, check=True)
    assert [path.name for path in (folder / "out").iterdir()] == ["chapters.vtt"]


def test_what_a_running_command_writes_is_left_alone_by_another(folder: Path) -> None:
    with under_way(folder, "clips") as process:
        wait_until(process, lambda: written(folder))
        before = hidden(folder / "out")
        subprocess.run(annotator("chapters", "c.case.jsonld", "--out", "out/chapters.vtt"), cwd=folder, check=True)
        assert hidden(folder / "out") == before
        assert len(before) >= 2
        process.terminate()


def test_what_nohup_ignores_stays_ignored(folder: Path) -> None:
    """nohup(1): the program runs on when its terminal is closed."""
    command = ["nohup", *annotator("clips", "c.case.jsonld", "--out", "out")]
    environment = surroundings(folder / "home", IMAGEIO_FFMPEG_EXE=str(slow_ffmpeg(folder)))
    with subprocess.Popen(command, cwd=folder, env=environment, stderr=subprocess.DEVNULL) as process:
        wait_until(process, lambda: written(folder))
        before = written(folder)
        process.send_signal(signal.SIGHUP)
        wait_until(process, lambda: written(folder) > before)
        process.terminate()
        assert process.wait() == 128 + signal.SIGTERM
