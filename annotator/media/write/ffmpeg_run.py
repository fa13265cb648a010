"""Running FFmpeg: with progress, stoppable, its complaints kept from the terminal."""

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from typing import BinaryIO, Final

from annotator.durable import NO_ROOM_FOR_TEMPORARY
from annotator.errors import MediaError
from annotator.media.write.ffmpeg_graph import Stream
from annotator.media.write.ffmpeg_program import environment, program
from annotator.model.timecode import Ms
from annotator.plain_text import plain
from annotator.progress import Progress

_QUIETLY: Final = ("-nostdin", "-hide_banner", "-v", "error", "-progress", "pipe:1", "-stats_period", "0.2")
_COMPLAINT_BYTES: Final = 4_096
_NO_WINDOW: Final[int] = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # Windows would flash a console
_BEHIND: Final[int] = getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0)
_NICER: Final = 10
"""By how much work behind others steps back where priorities are niceness: half of what there is."""


class FfmpegFailed(Exception):
    """FFmpeg gave up; the message is the last of what it said."""


def run(graph: Stream, total: Ms, progress: Progress, *, behind: bool = False) -> None:
    """Run a graph of `ffmpeg_graph`; `progress` counts ms of `total` written and may stop it by raising.

    `behind` lets everything else on the machine go first. Raises FfmpegFailed; MediaError where the program cannot be
    started. What was written by then stays.
    """
    command = graph.global_args(*_QUIETLY).overwrite_output().compile(cmd=program())
    with _complaints() as complaints:
        with _started(command, complaints, behind) as process:
            status = _watched(process, total, progress)
        if status != 0:
            raise FfmpegFailed(_last_words(complaints) or _ended_by(status))


def _complaints() -> BinaryIO:
    """A file for what FFmpeg says, with a name that nobody sees. Raises MediaError where there is no room for one."""
    try:
        return tempfile.TemporaryFile()  # closed by whoever asks for it
    except OSError as error:
        raise MediaError(NO_ROOM_FOR_TEMPORARY) from error


def _started(command: Sequence[str], complaints: BinaryIO, behind: bool) -> subprocess.Popen[bytes]:
    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=complaints,
            env=environment(),
            creationflags=_NO_WINDOW | (_BEHIND if behind else 0),
        )
    except OSError as error:
        raise MediaError(f"FFmpeg cannot be started: {plain(str(error))}; install the program again") from error
    if behind and sys.platform != "win32":
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, process.pid, os.getpriority(os.PRIO_PROCESS, 0) + _NICER)
    return process


def _watched(process: subprocess.Popen[bytes], total: Ms, progress: Progress) -> int:
    written = 0
    try:
        for line in process.stdout or ():
            name, _, value = line.partition(b"=")
            if name == b"out_time_us":
                # "N/A" before the first picture; told all the same, as this is where work is stopped.
                written = int(value) // 1_000 if value.strip().isdigit() else written
                progress(min(written, total), total)
        return process.wait()
    except BaseException:
        process.kill()
        raise


def _last_words(complaints: BinaryIO) -> str:
    size = complaints.seek(0, os.SEEK_END)
    complaints.seek(max(size - _COMPLAINT_BYTES, 0))
    return plain(complaints.read().decode("utf-8", "replace"))


def _ended_by(status: int) -> str:
    """Who is ended by the system, as where memory is short or a file gets too long, has no time to say so."""
    what = signal.strsignal(-status) if status < 0 else None
    return f"it was ended by the system ({what or status})"
