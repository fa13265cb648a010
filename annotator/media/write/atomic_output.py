"""A recording that is being written: under another name until all of it is on the disk."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

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
