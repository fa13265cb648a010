"""Build many values without Python looking again and again whether any of them has become garbage."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """For the making of hundreds of thousands of values that hold no rings; they go by their counts all the same."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()
