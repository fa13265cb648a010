"""FFmpeg's metadata text, for chapters inside a container: https://ffmpeg.org/ffmpeg-formats.html#Metadata-2 ."""

import re
from collections.abc import Iterable
from itertools import pairwise

from annotator.errors import InvalidFile
from annotator.formats.captions.titled import Titled
from annotator.model.timecode import clock
from annotator.plain_text import one_line

_SPECIAL = re.compile(r"([=;#\\])")


def dumps(chapters: Iterable[Titled]) -> str:
    """The text that `ffmpeg -f ffmetadata` reads. A container's list is flat: raises InvalidFile for overlaps."""
    ordered = sorted(chapters, key=lambda chapter: (chapter.start, -chapter.end))
    faults = [
        f"“{one_line(later.title)}” starts at {clock(later.start)}, before “{one_line(earlier.title)}” ends"
        for earlier, later in pairwise(ordered)
        if later.start < earlier.end
    ]
    if faults:
        raise InvalidFile("Chapters inside a recording can't overlap", faults)
    return "\n".join([";FFMETADATA1", *map(_section, ordered)]) + "\n"


def _section(chapter: Titled) -> str:
    title = _SPECIAL.sub(r"\\\1", one_line(chapter.title))
    if title.endswith("\\"):
        title += " "  # FFmpeg takes a backslash before the line's end for a line that goes on, even an escaped one
    return f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={chapter.start}\nEND={chapter.end}\ntitle={title}"
