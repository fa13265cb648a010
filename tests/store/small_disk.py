"""A file system of its own with little room, which only the superuser of a Linux system can make."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(folder: Path, size: str) -> Iterator[Path]:
    """A new folder on a disk of this size, such as `8k`; where none can be made, the test is skipped."""
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    try:
        is_mounted = subprocess.run(command, capture_output=True, check=False).returncode == 0
    except FileNotFoundError:
        is_mounted = False
    if not is_mounted:
        pytest.skip("no file system of its own can be made here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def fill(folder: Path, step: int) -> Path:
    """Leave no room in the folder, by a file that grows by `step` bytes; that file."""
    filler = folder / "filler"
    with pytest.raises(OSError, match="space"), filler.open("wb", buffering=0) as file:
        while True:
            file.write(bytes(step))
    return filler
