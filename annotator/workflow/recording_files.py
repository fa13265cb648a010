"""Which files are recordings, and the order in which a recorder numbered them."""

import os
import re
from collections.abc import Iterable
from pathlib import Path

from annotator.errors import MediaError, StoreError
from annotator.model.recording import ENDINGS

MOST = 1_000
"""Recordings taken from one folder; as many as a case may have."""


def in_natural_order(paths: Iterable[Path]) -> list[Path]:
    """Sorted by name with figures as numbers, so that `part 2` stands before `part 10`, and `part` before both."""
    return sorted(paths, key=lambda path: (_natural(path.stem), _natural(path.suffix), str(path)))


def recordings_in(folder: Path) -> list[Path]:
    """The recordings that lie in a folder itself, by their endings, in natural order.

    Raises MediaError where there are none or too many, StoreError where the folder can't be read.
    """
    try:
        with os.scandir(folder) as entries:
            names = [one.name for one in entries if Path(one.name).suffix.lower() in ENDINGS and one.is_file()]
    except OSError as error:
        raise StoreError(f"The folder {folder} can't be read: {error.strerror}") from error
    found = [folder / name for name in names if not name.startswith(".")]
    if not found:
        raise MediaError(f"There are no recordings in the folder “{folder.name}”; open the folder that contains them")
    if len(found) > MOST:
        raise MediaError(f"“{folder.name}” contains {len(found)} recordings; select those of one operation")
    return in_natural_order(found)


def _natural(name: str) -> list[tuple[int, int, str]]:
    """Figures before words, numbers by their value; two names that differ only in letter case are told apart last."""
    parts = re.split(r"([0-9]+)", name.casefold())
    return [(0, int(part[:400]), part) if part.isdigit() and part.isascii() else (1, 0, part) for part in parts if part]
