"""A recording that is being written: under another name until all of it is on the disk, and why where it can't be."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from annotator.durable import why
from annotator.errors import AnnotatorError, MediaError
from annotator.parts import whole_file
from annotator.plain_text import plain


@contextmanager
def atomic_output(out: Path) -> Iterator[Path]:
    """A name to write to, that becomes `out` if all goes well and is taken away if not.

    MediaError says what to try where the file cannot be written.
    """
    target = out.absolute()
    if not target.parent.is_dir():
        raise MediaError(f"There is no folder “{plain(str(target.parent))}”; make it first, or name another")
    try:
        with whole_file(target) as part:
            part.touch(exist_ok=False)  # a folder that can't be written to is known at once, in the system's words
            yield part
    except AnnotatorError:
        raise
    except OSError as error:
        raise MediaError(f"“{plain(out.name)}” cannot be written: {plain(why(error))}") from error


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
