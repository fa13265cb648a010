"""Read a whole file that came from outside, within bounds and with a clear sentence where it can't be."""

import stat
from pathlib import Path

from annotator.errors import StoreError


def read_bounded(path: Path, largest: int) -> bytes:
    """The bytes of a regular file of at most `largest` bytes. Raises StoreError for anything else."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise StoreError(f"{path} is not a file; give the path of a file")
        if found.st_size > largest:
            raise StoreError(f"{path} is larger than {largest // (1024 * 1024)} MB, too large for what it should hold")
        with path.open("rb") as file:
            return file.read(largest + 1)
    except FileNotFoundError as error:
        raise StoreError(f"There is no file {path}; check its name and folder") from error
    except OSError as error:
        if isinstance(error, StoreError):
            raise
        raise StoreError(f"{path} can't be read: {error.strerror or error}") from error
