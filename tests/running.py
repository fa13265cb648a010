"""The program as a process of its own, with an FFmpeg that takes its time, to be ended in the middle of something."""

import os
import select
import shlex
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import imageio_ffmpeg

PATIENCE = 120
"""Seconds for what comes at once on a machine that has nothing else to do."""


def slow_ffmpeg(folder: Path) -> Path:
    """An FFmpeg that reads no faster than one plays, so that it is still at work when it is to be ended."""
    script = folder / "slow-ffmpeg"
    script.write_text(f'#!/bin/sh\nexec {shlex.quote(imageio_ffmpeg.get_ffmpeg_exe())} -readrate 1 "$@"\n')
    script.chmod(0o755)
    return script


def surroundings(home: Path, **further: str) -> dict[str, str]:
    """The environment for the program, with folders of its own for all that it keeps."""
    folders = {f"XDG_{what}_HOME": str(home / what.lower()) for what in ("CACHE", "STATE", "DATA", "CONFIG")}
    return os.environ | folders | {"QT_QPA_PLATFORM": "offscreen"} | further


def annotator(*arguments: str | Path) -> list[str]:
    """The command that a user runs."""
    return [str(Path(sys.executable).with_name("annotator")), *map(str, arguments)]


def wait_until(process: "subprocess.Popen[bytes]", found: Callable[[], object]) -> None:
    """Until something is so, which must be before the process ends; looked for often, as no system tells of it."""
    for _ in range(PATIENCE * 50):
        if found():
            return
        with suppress(subprocess.TimeoutExpired):
            process.wait(0.02)
            raise AssertionError(f"it has ended by itself, with {process.returncode}")
    process.kill()
    raise AssertionError("it never came")


def ffmpegs_of(process: "subprocess.Popen[bytes]") -> list[int]:
    """The FFmpegs that a process runs now (Linux)."""
    found = []
    for children in Path(f"/proc/{process.pid}/task").glob("*/children"):
        with suppress(OSError):
            found += [int(child) for child in children.read_text().split() if "ffmpeg" in _program(int(child))]
    return found


def _program(pid: int) -> str:
    return Path(f"/proc/{pid}/exe").readlink().name


class Watched:
    """A process that is waited for though it is nobody's child any more (Linux)."""

    def __init__(self, pid: int) -> None:
        self._descriptor = os.pidfd_open(pid)

    def has_ended(self) -> bool:
        """Waits for the end, and no longer than a test has patience."""
        ended, _, _ = select.select([self._descriptor], [], [], PATIENCE)
        os.close(self._descriptor)
        return bool(ended)


def hidden(folder: Path) -> list[str]:
    """What the program hides while it writes, anywhere below."""
    return sorted(path.name for path in folder.rglob(".annotator-*"))
