"""What is free is the system's again, so that hours of recording do not take all of a small machine."""

import subprocess
import sys
from pathlib import Path

import pytest

from annotator.desktop.tasks.memory import give_back

# Pictures of 2 MB, each with something small after it that stays: from a store that only grows, none would go back.
_PICTURES = """
import ctypes
from pathlib import Path
from annotator.desktop.tasks.memory import keep_little
if {kept_little}:
    keep_little()
library = ctypes.CDLL(None)
library.malloc.restype, library.malloc.argtypes = ctypes.c_void_p, [ctypes.c_size_t]
library.free.argtypes = [ctypes.c_void_p]

def held():
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4 // 1024

def picture():
    made = library.malloc(2 << 20)
    ctypes.memset(made, 1, 2 << 20)
    return made

library.free(picture())
before = held()
pictures = []
for _ in range(50):
    pictures.append(picture())
    ctypes.memset(library.malloc(2000), 1, 2000)
for one in pictures:
    library.free(one)
print(held() - before)
"""


def kept_after(*, kept_little: bool) -> int:
    """MB that a process of its own still holds of 100 that it has freed."""
    script = _PICTURES.format(kept_little=kept_little)
    return int(subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True).stdout)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux keeps it, and tells")
def test_what_is_as_large_as_a_picture_goes_back_at_once() -> None:
    assert kept_after(kept_little=True) < 10
    assert kept_after(kept_little=False) > 50


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only there is memory held back")
def test_what_long_work_has_freed_goes_back_to_the_system() -> None:
    """Blocks too small for the C library to give back one by one; proc(5) says what VmRSS is."""

    def held() -> int:
        return int(Path("/proc/self/status").read_text(encoding="ascii").split("VmRSS:")[1].split()[0])

    blocks = [bytearray(60_000) for _ in range(2_000)]
    kept = blocks[::20]
    del blocks
    before = held()
    give_back()
    assert held() < before - 50_000
    assert len(kept) == 100
