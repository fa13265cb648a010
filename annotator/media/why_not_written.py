"""What FFmpeg complains of, as a sentence on the file that was to be written."""

from pathlib import Path
from typing import Final

from annotator.plain_text import plain

_NOT_TAKEN: Final = ("not supported", "only supported in", "Could not find tag", "Could not write header")
"""What FFmpeg's muxers say of a form that `taken` does not know."""


def why_not_written(out: Path, complaint: str) -> str:
    """The sentence, with what to try where that is known."""
    name = f"“{plain(out.name)}”"
    if "No space left on device" in complaint:
        return f"{name} cannot be written: the disk is full; free some space, or choose another folder"
    if any(says in complaint for says in _NOT_TAKEN):
        instead = "have it encoded anew" if out.suffix.lower() == ".mkv" else "choose a .mkv file instead"
        return f"{name} cannot hold picture or sound of this recording as they are; {instead}"
    return f"{name} cannot be written; FFmpeg says: {complaint[-300:]}"
