"""Thumbnails and peaks of sound, kept for the next time."""

from collections.abc import Sequence
from itertools import accumulate, pairwise
from pathlib import Path
from typing import Final

import numpy as np

from annotator.media.cache.cache_files import Arrays, keep, kept, make_room, place
from annotator.media.pictures.sound import Peaks
from annotator.media.pictures.thumbnails import Thumbnail

MOST_BYTES: Final = 500 * 2**20
"""Of the folder: some fifty hours of recordings."""

_VERSION: Final = 1
"""Raised whenever strip or peaks of the same file may come out differently."""

_FILM, _SOUND = ".film", ".sound"


class StripCache:
    """The folder that strips and peaks are kept in, and the bytes that everything kept below it may take."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES) -> None:
        self._folder = folder
        self._most_bytes = most_bytes

    def film(self, fingerprint: str) -> tuple[Thumbnail, ...] | None:
        """The thumbnails of the recording with this content, or None where they are not kept whole."""
        arrays = kept(place(self._folder, fingerprint, _FILM), _about(fingerprint, _FILM))
        if arrays is None:
            return None
        ends = list(accumulate(arrays["sizes"].tolist(), initial=0))
        data = arrays["data"].tobytes()
        pictures = [data[start:end] for start, end in pairwise(ends)]
        return tuple(map(Thumbnail, arrays["times"].tolist(), pictures))

    def keep_film(self, fingerprint: str, film: Sequence[Thumbnail]) -> None:
        """Keep thumbnails, all that the recording has, in order of time."""
        times = np.array([one.time for one in film], dtype=np.int64)
        sizes = np.array([len(one.jpeg) for one in film], dtype=np.int64)
        data = np.frombuffer(b"".join(one.jpeg for one in film), dtype=np.uint8)
        self._keep(fingerprint, _FILM, {"times": times, "sizes": sizes, "data": data})

    def peaks(self, fingerprint: str) -> Peaks | None:
        """The peaks of the recording with this content, or None where they are not kept whole."""
        arrays = kept(place(self._folder, fingerprint, _SOUND), _about(fingerprint, _SOUND))
        return None if arrays is None else Peaks(arrays["levels"])

    def keep_peaks(self, fingerprint: str, peaks: Peaks) -> None:
        self._keep(fingerprint, _SOUND, {"levels": peaks.levels})

    def _keep(self, fingerprint: str, kind: str, arrays: Arrays) -> None:
        keep(place(self._folder, fingerprint, kind), _about(fingerprint, kind), arrays)
        make_room(self._folder, self._most_bytes)


def _about(fingerprint: str, kind: str) -> dict[str, object]:
    return {"version": _VERSION, "kind": kind, "fingerprint": fingerprint}
