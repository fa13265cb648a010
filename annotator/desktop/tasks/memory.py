"""Gives freed memory back to the system. Only Linux needs this: its C library tends to keep it."""

import ctypes
import sys
from contextlib import suppress
from typing import Final

_ARENA_MAX: Final = -8
_MMAP_THRESHOLD: Final = -3
"""Names of settings for mallopt, from GNU's malloc.h."""

_ARENAS: Final = 2
_LARGE: Final = 2**20
"""Bytes from which a piece of memory is the system's again as soon as it is freed."""


def keep_little() -> None:
    """Call once, before there are threads.

    Else each thread would have a store of its own, and what is as large as a picture would come from there once the
    first such piece has been freed: with three hours of recording 150 MB more, as measured.
    """
    if sys.platform.startswith("linux"):
        with suppress(OSError, AttributeError):  # other C libraries than GNU's have no such call
            library = ctypes.CDLL(None)
            library.mallopt(_ARENA_MAX, _ARENAS)
            library.mallopt(_MMAP_THRESHOLD, _LARGE)


def give_back() -> None:
    """Let the system have the memory that is free. Takes some milliseconds.

    FFmpeg's tables of a long recording take 60 MB each time it is opened, most of it in pieces that are not large.
    """
    if sys.platform.startswith("linux"):
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)
