"""Know a recording again by its content, whatever it is called and wherever it lies."""

import hashlib
import os
from pathlib import Path

from annotator.durable import why
from annotator.errors import StoreError
from annotator.store.files import open_file

SCHEME = "sha256-samples-1"
SAMPLES = 64
SAMPLE = 64 * 1024
"""Bytes. Of a larger file, 64 samples spread evenly from its first byte to its last are read, 4 MB in all: enough to
tell recordings apart, and to notice one that was cut, joined or encoded again, in a moment also for hours of
recording. A change of a few bytes between two samples goes unnoticed."""


def fingerprint(path: Path) -> str:
    """`scheme:size in bytes:digest` of a file. Raises StoreError where it can't be read.

    The digest is SHA-256 over the samples' bytes; a file up to 4 MB is read whole.
    """
    digest = hashlib.sha256()
    try:
        with os.fdopen(open_file(path), "rb") as file:
            size = os.fstat(file.fileno()).st_size
            for start, length in _samples(size):
                file.seek(start)
                digest.update(file.read(length))
    except StoreError:
        raise
    except OSError as error:
        raise StoreError(f"{path} can't be read: {why(error)}") from error
    return f"{SCHEME}:{size}:{digest.hexdigest()}"


def size_in(text: str) -> int | None:
    """The size in bytes of the file that a fingerprint was made of; None for one of another kind."""
    scheme, _, rest = text.partition(":")
    size = rest.partition(":")[0]
    return int(size) if scheme == SCHEME and size.isascii() and size.isdigit() and len(size) < 20 else None


def _samples(size: int) -> list[tuple[int, int]]:
    """Start and length of each sample; the last ends where the file does."""
    if size <= SAMPLES * SAMPLE:
        return [(0, size)]
    return [(index * (size - SAMPLE) // (SAMPLES - 1), SAMPLE) for index in range(SAMPLES)]
