"""Files that can be made again, kept in a folder that may be deleted whenever one likes.

What is found there is believed only if it is whole and says that it is what was asked for. The folder is kept
within a size: what has not been used for the longest goes first. Not being able to keep something is no
error: it only costs the time again.
"""

import hashlib
import json
import os
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import Any, Final, NamedTuple
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from annotator.parts import clear_left_overs, whole_file
from annotator.plain_file import open_plain

_DIGEST_BYTES: Final = hashlib.sha256().digest_size
"""Of the digest in front, by which a damaged file is known."""

_NAME_LENGTH: Final = 40
_OURS: Final = re.compile(rf"[0-9a-f]{{{_NAME_LENGTH}}}\.(frames|film|sound|mp4|mkv|library)(\.\w+\.part)?")
"""Names that `place` and libraries give, and those by which earlier versions left files when they were killed."""

Arrays = Mapping[str, NDArray[Any]]


def place(folder: Path, fingerprint: str, ending: str) -> Path:
    """Where something of the recording with this content is kept; `ending` tells what, and begins with a dot."""
    return folder / f"{hashlib.sha256(fingerprint.encode()).hexdigest()[:_NAME_LENGTH]}{ending}"


def keep(path: Path, about: Mapping[str, object], arrays: Arrays) -> None:
    """Write arrays, and what they are `about`, beside the final name and rename: no half-written file is ever found."""
    packed = BytesIO()
    np.savez(packed, allow_pickle=False, about=np.frombuffer(json.dumps(about).encode(), dtype=np.uint8), **arrays)
    content = packed.getvalue()
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        with whole_file(path) as part:
            part.write_bytes(hashlib.sha256(content).digest() + content)


def kept(path: Path, about: Mapping[str, object]) -> dict[str, NDArray[Any]] | None:
    """The arrays kept there about just this; None where there are none, or the file is not whole."""
    try:
        with os.fdopen(open_plain(path, os.O_RDONLY), "rb") as file:
            raw = file.read()
        digest, content = raw[:_DIGEST_BYTES], raw[_DIGEST_BYTES:]
        if hashlib.sha256(content).digest() != digest:
            return None
        with np.load(BytesIO(content), allow_pickle=False) as arrays:
            if json.loads(bytes(arrays["about"])) != about:
                return None
            found = dict(arrays)
    except (OSError, ValueError, KeyError, BadZipFile):
        return None
    mark_used(path)
    return found


def mark_used(path: Path) -> None:
    """Make a kept file the last one to go."""
    with suppress(OSError):
        os.utime(path, follow_symlinks=os.utime not in os.supports_follow_symlinks)


def make_room(folder: Path, most_bytes: int) -> None:
    """Take away what was used longest ago, anywhere below the folder, until the rest fits into `most_bytes`.

    Only files named as by `place` are counted and taken: the folder may be one where a user keeps other things. What
    killed programs left half-written goes in any case.
    """
    clear_below(folder)
    room = most_bytes
    for one in sorted(_files_of_ours(folder), reverse=True):
        room -= one.size
        if room < 0:
            with suppress(OSError):
                one.path.unlink()


def clear_below(folder: Path) -> None:
    """Take away what killed programs were writing anywhere below the folder."""
    for parent, _, _ in os.walk(folder):
        clear_left_overs(Path(parent))


def used_bytes(folder: Path) -> int:
    """The bytes of all that `make_room` would count."""
    return sum(one.size for one in _files_of_ours(folder))


class _File(NamedTuple):
    used: int
    size: int
    path: Path


def _files_of_ours(folder: Path) -> Iterator[_File]:
    for parent, _, names in os.walk(folder):  # passes over what it can't read, and follows no links
        for path in (Path(parent, name) for name in names if _OURS.fullmatch(name)):
            with suppress(OSError):
                facts = path.lstat()
                yield _File(facts.st_mtime_ns, facts.st_size, path)
