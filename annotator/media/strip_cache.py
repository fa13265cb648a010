"""Film strips and peaks of sound kept from one time to the next, in a folder that may be deleted whenever one likes.

What is found there is believed only if it is whole and belongs to the very content. The folder is kept within
a size: what has not been asked for the longest goes first. Not being able to keep something is no error: it
only costs the time again.
"""

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from io import BytesIO
from itertools import accumulate, pairwise
from pathlib import Path
from typing import Final
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from annotator.media.sound import Peaks
from annotator.media.thumbnails import Thumbnail

MOST_BYTES: Final = 500 * 2**20
"""Of the folder: some fifty hours of recordings."""

_VERSION: Final = 1
"""Raised whenever strip or peaks of the same file may come out differently."""

_DIGEST_BYTES: Final = hashlib.sha256().digest_size
_FILM, _SOUND = ".film", ".sound"

_Arrays = Mapping[str, NDArray[np.uint8] | NDArray[np.int64]]


class StripCache:
    """The folder that strips and peaks are kept in, and the bytes that it may hold."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES) -> None:
        self._folder = folder
        self._most_bytes = most_bytes

    def film(self, fingerprint: str) -> tuple[Thumbnail, ...] | None:
        """The thumbnails of the recording with this content, or None where they are not kept whole."""
        arrays = self._load(fingerprint, _FILM)
        try:
            if arrays is None:
                return None
            ends = list(accumulate(arrays["sizes"].tolist(), initial=0))
            data = arrays["data"].tobytes()
            pictures = [data[start:end] for start, end in pairwise(ends)]
            return tuple(map(Thumbnail, arrays["times"].tolist(), pictures))
        except KeyError:
            return None

    def keep_film(self, fingerprint: str, film: Sequence[Thumbnail]) -> None:
        """Keep thumbnails, all that the recording has, in order of time."""
        times = np.array([one.time for one in film], dtype=np.int64)
        sizes = np.array([len(one.jpeg) for one in film], dtype=np.int64)
        data = np.frombuffer(b"".join(one.jpeg for one in film), dtype=np.uint8)
        self._keep(fingerprint, _FILM, {"times": times, "sizes": sizes, "data": data})

    def peaks(self, fingerprint: str) -> Peaks | None:
        """The peaks of the recording with this content, or None where they are not kept whole."""
        arrays = self._load(fingerprint, _SOUND)
        return None if arrays is None or "levels" not in arrays else Peaks(arrays["levels"].astype(np.uint8))

    def keep_peaks(self, fingerprint: str, peaks: Peaks) -> None:
        self._keep(fingerprint, _SOUND, {"levels": peaks.levels})

    def _path(self, fingerprint: str, kind: str) -> Path:
        return self._folder / f"{hashlib.sha256(fingerprint.encode()).hexdigest()[:40]}{kind}"

    def _load(self, fingerprint: str, kind: str) -> dict[str, NDArray[np.int64]] | None:
        path = self._path(fingerprint, kind)
        try:
            raw = path.read_bytes()
            digest, content = raw[:_DIGEST_BYTES], raw[_DIGEST_BYTES:]
            if hashlib.sha256(content).digest() != digest:
                return None
            with np.load(BytesIO(content), allow_pickle=False) as arrays:
                about = json.loads(bytes(arrays["about"]))
                if about != _about(fingerprint, kind):
                    return None
                found = dict(arrays)
        except (OSError, ValueError, KeyError, BadZipFile):
            return None
        with suppress(OSError):
            os.utime(path)  # asked for just now, so the last to go
        return found

    def _keep(self, fingerprint: str, kind: str, arrays: _Arrays) -> None:
        packed = BytesIO()
        about = np.frombuffer(json.dumps(_about(fingerprint, kind)).encode(), dtype=np.uint8)
        np.savez(packed, allow_pickle=False, about=about, **arrays)
        content = packed.getvalue()
        with suppress(OSError):
            _write(self._path(fingerprint, kind), hashlib.sha256(content).digest() + content)
            self._make_room()

    def _make_room(self) -> None:
        """Take away what was asked for longest ago until the rest fits."""
        kept = []
        for path in self._folder.iterdir():
            if path.suffix in (_FILM, _SOUND):
                with suppress(OSError):
                    facts = path.stat()
                    kept.append((facts.st_mtime_ns, facts.st_size, path))
        room = self._most_bytes
        for _, size, path in sorted(kept, reverse=True):
            room -= size
            if room < 0:
                with suppress(OSError):
                    path.unlink()


def _about(fingerprint: str, kind: str) -> dict[str, object]:
    return {"version": _VERSION, "kind": kind, "fingerprint": fingerprint}


def _write(kept: Path, content: bytes) -> None:
    """Write beside the final name and rename, so that no half-written file is ever found."""
    kept.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=kept.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(name).replace(kept)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
