"""All thumbnails of a recording, those near what is looked at before the others."""

from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from time import monotonic
from typing import Final

from annotator.media.pictures.thumbnails import Thumbnail, thumbnails
from annotator.model.timecode import SECOND, Ms
from annotator.progress import Progress

_MOST: Final = 1_200
"""Thumbnails of a recording, so that hours of it take little time and memory."""

_CLOSEST: Final[Ms] = SECOND
_FIRST_LOOK: Final = 24
"""Thumbnails over the whole recording that come before all others."""

_PIECE: Final = 256
"""Thumbnails made in one go; after each it is asked again what is looked at."""

_BATCH_SECONDS: Final = 0.2

Take = Callable[[Sequence[Thumbnail]], None]


def whole_strip(
    path: Path, duration: Ms, looked_at: Callable[[], Ms], take: Take, progress: Progress
) -> list[Thumbnail]:
    """Every thumbnail of a recording, in order of time; `take` is given some at a time, as soon as they are there.

    They come as a first look at all of it, then piece by piece, always the one nearest to the time that is
    `looked_at`. `progress` counts ms of the recording.
    """
    return _Strip(path, duration, take, progress).made(looked_at)


class _Strip:
    """A strip while it is made."""

    def __init__(self, path: Path, duration: Ms, take: Take, progress: Progress) -> None:
        self._path = path
        self._duration = duration
        self._take = take
        self._progress = progress
        self._every = max(_CLOSEST, duration // _MOST)
        self._found: dict[Ms, Thumbnail] = {}
        self._left: set[Ms] = set()

    def made(self, looked_at: Callable[[], Ms]) -> list[Thumbnail]:
        piece = _PIECE * self._every
        if self._duration > 2 * _FIRST_LOOK * self._every:
            self._gather(self._duration // _FIRST_LOOK, 0, self._duration)
        self._left = set(range(0, max(self._duration, 1), piece))
        while self._left:
            start = min(self._left, key=lambda one: abs(one + piece // 2 - looked_at()))
            begun, reached = self._gather(self._every, start, start + piece)
            self._left = {one for one in self._left if one != start and not begun <= one <= reached - piece}
        return [self._found[time] for time in sorted(self._found)]

    def _gather(self, apart: Ms, start: Ms, end: Ms) -> tuple[Ms, Ms]:
        """Take thumbnails from `start` on; returns from when to when there are no more.

        Where the file yields none near `start` but far before, all of it is taken in this one go.
        """
        begun = start
        batch: list[Thumbnail] = []
        told = monotonic()
        with closing(thumbnails(self._path, apart, start, self._tell)) as coming:
            for one in coming:
                if one.time < start - _PIECE * apart:
                    begun, end = min(begun, one.time), max(self._duration, end)
                if one.time >= end:
                    self._take(batch)
                    return begun, one.time
                self._found[one.time] = one
                batch.append(one)
                if monotonic() - told > _BATCH_SECONDS:
                    self._take(batch)
                    batch, told = [], monotonic()
        self._take(batch)
        return begun, max(self._duration, end)

    def _tell(self, _done: float, _total: float, /) -> None:
        """By how many there are, as the pieces come in any order."""
        self._progress(min(len(self._found) * self._every, self._duration), self._duration)
