"""Which FFmpeg is run, and the little that it gets to know of its surroundings."""

import os
import shutil
import sys
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Final

from annotator.errors import MediaError

_CHOSEN: Final = "IMAGEIO_FFMPEG_EXE"
"""By which a user names another FFmpeg than the one that comes with imageio-ffmpeg."""

_LET_THROUGH: Final = ("SYSTEMROOT", "TEMP", "TMP", "TMPDIR")
"""No program of Windows starts without SYSTEMROOT (Python's documentation of subprocess). Not among them: where the
system's loader looks for libraries, and FFREPORT, by which FFmpeg would write a log into the working folder."""


def program() -> str:
    """The path of the FFmpeg to run; never one that just lies in the working folder. MediaError where there is none."""
    chosen = os.environ.get(_CHOSEN)
    found = next(_named(chosen) if chosen else chain(_brought_along(), _named("ffmpeg")), None)
    if found is None:
        asked = f"“{chosen}”, as {_CHOSEN} asks," if chosen else "FFmpeg"
        raise MediaError(f"{asked} is not there or can't be run; install it with: pip install imageio-ffmpeg")
    return found


def environment() -> dict[str, str]:
    """All that FFmpeg gets to know of this process's environment."""
    return {name: os.environ[name] for name in _LET_THROUGH if name in os.environ}


def _brought_along() -> Iterator[str]:
    """The one that comes with the package; on rare systems it brings none."""
    import imageio_ffmpeg  # only where FFmpeg is to be run: it takes a while to load

    binaries = Path(imageio_ffmpeg.__file__).with_name("binaries")
    yield from (str(path) for path in sorted(binaries.glob("ffmpeg-*")) if os.access(path, os.X_OK))


def _named(name: str) -> Iterator[str]:
    """Programs of that name: the path itself, or where PATH has it.

    An empty or relative part of PATH means the working folder, which may be a stranger's; Windows looks there anyway.
    """
    if Path(name).name != name:
        folders = [Path(name).absolute().parent]
    else:
        beside = Path(sys.prefix, "Library", "bin") if sys.platform == "win32" else Path(sys.prefix, "bin")
        parts = map(Path, os.environ.get("PATH", "").split(os.pathsep))
        folders = [beside, *(part for part in parts if part.is_absolute())]
    yield from filter(None, (shutil.which(str(folder / Path(name).name)) for folder in folders))
