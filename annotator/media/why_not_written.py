"""What FFmpeg complains of, as a sentence on the file that was to be written."""

from pathlib import Path

from annotator.plain_text import plain


def why_not_written(out: Path, complaint: str) -> str:
    """The sentence, with what to try where that is known."""
    name = f"“{plain(out.name)}”"
    if "No space left on device" in complaint:
        return f"{name} cannot be written: the disk is full; free some space, or choose another folder"
    if "not supported" in complaint or "Could not find tag" in complaint or "Only VP8" in complaint:
        return f"{name} cannot hold picture or sound of this recording as they are; choose a .mkv file instead"
    return f"{name} cannot be written; FFmpeg says: {complaint[-300:]}"
