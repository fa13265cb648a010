"""Which FFmpeg is run and what it gets to know: nothing that lies in the working folder has a say."""

import os
import shutil
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import ffmpeg
import imageio_ffmpeg
import pytest

from annotator.errors import MediaError
from annotator.media.write.ffmpeg_graph import copied, encoded
from annotator.media.write.ffmpeg_program import environment, program
from annotator.media.write.ffmpeg_run import run
from annotator.progress import silent
from tests.media.films import ffmpeg as made_by_ffmpeg

posix = pytest.mark.skipif(sys.platform == "win32", reason="programs are marked as such")


def put_program(folder: Path, name: str = "ffmpeg") -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


@pytest.fixture
def nothing_brought(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The package came without a program, as on systems that it has none for."""
    monkeypatch.setattr(imageio_ffmpeg, "__file__", str(tmp_path / "nowhere" / "__init__.py"))
    monkeypatch.setattr(sys, "prefix", str(tmp_path / "nowhere"))
    monkeypatch.delenv("IMAGEIO_FFMPEG_EXE", raising=False)


def test_the_one_that_comes_with_the_package_is_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("IMAGEIO_FFMPEG_EXE", raising=False)
    assert Path(program()) == Path(imageio_ffmpeg.get_ffmpeg_exe())


@posix
def test_a_user_may_name_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = put_program(tmp_path / "own", "my-ffmpeg")
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", str(own))
    assert program() == str(own)
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", "my-ffmpeg")
    monkeypatch.setenv("PATH", str(own.parent))
    assert program() == str(own)
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", str(own.with_name("gone")))
    with pytest.raises(MediaError, match=r"gone”, as IMAGEIO_FFMPEG_EXE asks, is not there"):
        program()


@posix
@pytest.mark.usefixtures("nothing_brought")
@pytest.mark.parametrize("path", ["", os.pathsep, f".{os.pathsep}", f"bin{os.pathsep}{os.pathsep}"])
def test_none_is_taken_from_the_working_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, path: str) -> None:
    put_program(tmp_path)
    put_program(tmp_path / "bin")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", path)
    with pytest.raises(MediaError, match="FFmpeg is not there"):
        program()
    system = put_program(tmp_path / "system")
    monkeypatch.setenv("PATH", f"{path}{os.pathsep}{system.parent}")
    assert program() == str(system)


def test_it_gets_to_know_next_to_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("LD_LIBRARY_PATH", "LD_PRELOAD", "DYLD_LIBRARY_PATH", "FFREPORT", "PATH", "HOME", "PYTHONPATH"):
        monkeypatch.setenv(name, "anything")
    monkeypatch.setenv("TMPDIR", "somewhere")
    assert set(environment()) <= {"SYSTEMROOT", "TEMP", "TMP", "TMPDIR"}
    assert environment()["TMPDIR"] == "somewhere"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks at the child in /proc")
@pytest.mark.parametrize("form", ["encoded", "copied"])
def test_the_running_child_has_that_and_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, form: str) -> None:
    source = tmp_path / "eye.mp4"
    made_by_ffmpeg("-f", "lavfi", "-i", "testsrc2=d=4:s=64x64", "-c:v", "libx264", str(source))
    monkeypatch.setenv("FFREPORT", f"file={tmp_path / 'report.log'}")
    monkeypatch.setenv("LD_LIBRARY_PATH", ":")
    stream = ffmpeg.input(str(source), readrate=4)["0"]
    graph = (
        encoded([stream.filter("null")], tmp_path / "out.mp4", {"f": "mp4"})
        if form == "encoded"
        else copied([stream], stream, tmp_path / "out.mp4", {"f": "mp4"})
    )
    seen: set[str] = set()

    def look(_done: float, _total: float) -> None:
        for children in Path("/proc/self/task").glob("*/children"):
            for child in children.read_text().split():
                with suppress(OSError):  # it has ended between its last words and this look
                    names = Path(f"/proc/{child}/environ").read_bytes().split(b"\0")
                    seen.update(name.decode().partition("=")[0] for name in names if name)
                    seen.add("a child")

    run(graph, 4_000, look)
    assert "a child" in seen
    assert seen <= {"a child", "TEMP", "TMP", "TMPDIR"}
    assert {path.name for path in tmp_path.iterdir()} == {"eye.mp4", "out.mp4"}


@posix
def test_one_that_cannot_be_started_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = put_program(tmp_path)
    broken.write_bytes(b"\x7fELF, but no program")
    monkeypatch.setenv("IMAGEIO_FFMPEG_EXE", str(broken))
    stream = ffmpeg.input("no.mp4")["0"]
    with pytest.raises(MediaError, match="FFmpeg cannot be started"):
        run(copied([stream], stream, tmp_path / "out.mp4", {}), 1, silent)


# --- what importing does to the environment ------------------------------------------------------------------

_IMPORTS_ALL = """
import os, pkgutil, importlib
before = dict(os.environ)
import annotator
for module in pkgutil.walk_packages(annotator.__path__, "annotator."):
    if not module.name.startswith(("annotator.desktop", "annotator.__main__")):
        importlib.import_module(module.name)
import cv2, av
assert dict(os.environ) == before, {k: os.environ.get(k) for k in os.environ if os.environ.get(k) != before.get(k)}
"""

_WITH_WINDOWS = """
import os
os.environ["QT_QPA_PLATFORM_PLUGIN_PATH"] = "/opencv/plugins"
os.environ["QT_QPA_FONTDIR"] = "/opencv/fonts"
os.environ["LD_LIBRARY_PATH"] = "/opencv/lib:" + os.environ.get("LD_LIBRARY_PATH", "")
os.environ.pop("TAKEN_AWAY", None)
"""

_IMPORTS_OPENCV = """
import os
before = dict(os.environ)
from annotator.media.pictures.opencv import cv2
assert cv2.__file__.endswith("stand-in/cv2.py"), cv2.__file__
assert dict(os.environ) == before
"""


def in_a_process(text: str, **environment: str) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-c", text]
    return subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ | environment)


@pytest.mark.parametrize("own", [None, "/my/own/libraries"])
def test_importing_everything_leaves_the_environment_as_it_was(own: str | None) -> None:
    done = in_a_process(_IMPORTS_ALL, **({"LD_LIBRARY_PATH": own} if own else {}))
    assert done.returncode == 0, done.stderr


def test_nor_does_an_opencv_with_windows_of_its_own(tmp_path: Path) -> None:
    """What its loader sets on Linux (opencv-python 4.13, config.py and config-3.py), by a stand-in."""
    (tmp_path / "stand-in").mkdir()
    (tmp_path / "stand-in" / "cv2.py").write_text(_WITH_WINDOWS)
    done = in_a_process(_IMPORTS_OPENCV, PYTHONPATH=str(tmp_path / "stand-in"), TAKEN_AWAY="no", QT_QPA_FONTDIR="mine")
    assert done.returncode == 0, done.stderr


_PLANTED = """
#include <stdio.h>
#include <stdlib.h>
__attribute__((constructor)) static void leave_a_trace(void) { fclose(fopen("LOADED", "a")); }
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the loader of Linux")
@pytest.mark.skipif(shutil.which("cc") is None, reason="no C compiler to make a library with")
def test_a_library_beside_a_recording_is_not_loaded(tmp_path: Path) -> None:
    """FFmpeg, once OpenCV was imported, with libraries in the working folder named as those that it asks for."""
    (tmp_path / "planted.c").write_text(_PLANTED)
    planted = tmp_path / "planted.so"
    subprocess.run(["cc", "-shared", "-fPIC", "-o", planted, tmp_path / "planted.c"], check=True)
    for name in ("libc.so.6x", "libdl.so.2", "libm.so.6x", "libpthread.so.0", "librt.so.1", "libz.so.1"):
        shutil.copy(planted, tmp_path / name)
    made_by_ffmpeg("-f", "lavfi", "-i", "testsrc2=d=1:s=64x64", "-c:v", "libx264", str(tmp_path / "eye.mp4"))
    text = """
from pathlib import Path
from annotator.media.pictures.opencv import cv2
from annotator.media.write.clip import cut_exactly
from annotator.media.write.piece import Piece
from annotator.media.survey import survey
cut_exactly([Piece(survey(Path("eye.mp4")), 0, 500)], Path("out.mp4"))
"""
    subprocess.run([sys.executable, "-c", text], cwd=tmp_path, check=True)
    assert (tmp_path / "out.mp4").exists()
    assert not (tmp_path / "LOADED").exists()
