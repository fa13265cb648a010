"""What FFmpeg complains of, as a sentence on the file that was to be written."""

from pathlib import Path
from typing import Final

from annotator.plain_text import plain

_TOO_LARGE: Final = ("File too large", "File size limit exceeded")
"""What is said where a drive knows no files of that length, as older sticks don't, or a system allows none."""

_NOT_TAKEN: Final = ("not supported", "only supported in", "Could not find tag", "Could not write header")
"""What FFmpeg's muxers say of a form that `taken` does not know."""


def why_not_written(out: Path, complaint: str) -> str:
    """The sentence, with what to try where that is known."""
    name = f"“{plain(out.name)}”"
    if "No space left on device" in complaint:
        return f"{name} cannot be written: the disk is full; free some space, or choose another folder"
    if any(says in complaint for says in _TOO_LARGE):
        return f"{name} cannot be written: the file would be larger than this disk allows; choose a folder elsewhere"
    if any(says in complaint for says in _NOT_TAKEN):
        instead = "re-encode it" if out.suffix.lower() == ".mkv" else "use a .mkv file instead"
        return f"{name} cannot hold the picture or sound of this recording as they are; {instead}"
    return f"{name} cannot be written; FFmpeg says: {complaint[-300:]}"
