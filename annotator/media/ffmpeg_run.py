"""Running the FFmpeg that comes with the packages: with progress, stoppable, its complaints kept from the terminal."""

import os
import subprocess
import tempfile
from collections.abc import Sequence
from typing import BinaryIO, Final

import ffmpeg
import imageio_ffmpeg

from annotator.media.plain_text import plain
from annotator.model.timecode import Ms
from annotator.progress import Progress

_QUIETLY: Final = ("-nostdin", "-hide_banner", "-v", "error", "-progress", "pipe:1", "-stats_period", "0.2")
_COMPLAINT_BYTES: Final = 4_096
_NO_WINDOW: Final[int] = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # Windows would flash a console


class FfmpegFailed(Exception):
    """FFmpeg gave up; the message is the last of what it said."""


def run(output: ffmpeg.nodes.OutputStream, total: Ms, progress: Progress) -> None:
    """Run a graph built with ffmpeg-python; `progress` counts ms of `total` written and may stop it by raising.

    Raises FfmpegFailed; OSError where the program cannot be started. What was written by then stays.
    """
    command = output.global_args(*_QUIETLY).overwrite_output().compile(cmd=imageio_ffmpeg.get_ffmpeg_exe())
    # FFREPORT would make it write a log into the working folder.
    environment = {name: value for name, value in os.environ.items() if name != "FFREPORT"}
    with tempfile.TemporaryFile() as complaints:
        status = _watched(command, environment, complaints, total, progress)
        if status != 0:
            raise FfmpegFailed(_last_words(complaints))


def _watched(
    command: Sequence[str], environment: dict[str, str], complaints: BinaryIO, total: Ms, progress: Progress
) -> int:
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=complaints,
        env=environment,
        creationflags=_NO_WINDOW,
    ) as process:
        try:
            for line in process.stdout or ():
                name, _, value = line.partition(b"=")
                if name == b"out_time_us" and value.strip().isdigit():
                    progress(min(int(value) // 1_000, total), total)
            return process.wait()
        except BaseException:
            process.kill()
            raise


def _last_words(complaints: BinaryIO) -> str:
    size = complaints.seek(0, os.SEEK_END)
    complaints.seek(max(size - _COMPLAINT_BYTES, 0))
    return plain(complaints.read().decode("utf-8", "replace"))
