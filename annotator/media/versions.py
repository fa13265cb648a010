"""Which FFmpeg does the work."""

from pathlib import Path

import av

from annotator.errors import MediaError
from annotator.media.write.ffmpeg_program import program


def ffmpeg_versions() -> dict[str, str]:
    """PyAV, the FFmpeg in it, which reads, and the program that writes, each by its name. No program is run."""
    try:
        writes = Path(program()).name
    except MediaError as error:
        writes = str(error)
    return {"PyAV": av.__version__, "FFmpeg that reads": av.ffmpeg_version_info, "FFmpeg that writes": writes}
