"""The folder that stills and clips are written into: all of a run's files appear in it at its end, or none."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from annotator.durable import flush_file, flush_folder, replace, why
from annotator.errors import AnnotatorError, StoreError
from annotator.parts import part_in


def put(path: Path, data: bytes) -> None:
    """Write a file of a folder that nobody sees yet; all of it is on the disk when this returns. Raises OSError."""
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        flush_file(file.fileno())


@contextmanager
def folder_for(folder: Path) -> Iterator[None]:
    """Make the folder where there is none; a new one does not stay if nothing comes to stand in it.

    StoreError says why it can't be made.
    """
    try:
        was_there = folder.is_dir()
        folder.mkdir(exist_ok=True)
    except FileExistsError as error:
        raise StoreError(f"{folder} is a file; name a folder to write into") from error
    except OSError as error:
        raise StoreError(f"The folder {folder} can't be made: {why(error)}") from error
    try:
        yield
    finally:
        if not was_there:
            with suppress(OSError):
                folder.rmdir()


@contextmanager
def all_at_once(folder: Path) -> Iterator[Path]:
    """A hidden folder to write into, whose files take their place in `folder` at the end; if that comes.

    Files of the same names are replaced then. StoreError where the folder can't be written to.
    """
    try:
        with part_in(folder) as part:
            part.mkdir()
            yield part
            for path in sorted(part.iterdir()):
                replace(path, folder / path.name)
            flush_folder(folder)
    except AnnotatorError:
        raise
    except OSError as error:
        raise StoreError(f"Nothing can be written into {folder}: {why(error)}") from error
