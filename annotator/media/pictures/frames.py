"""Pictures by time: the very one that a player shows, and key frames for thumbnails."""

from collections.abc import Iterator
from contextlib import ExitStack
from fractions import Fraction
from math import floor
from pathlib import Path
from types import TracebackType
from typing import Final, Self

import av

from annotator.errors import MediaError
from annotator.media.container.clock import zero_of
from annotator.media.container.decoding import decoded, fields_may_part, use_threads
from annotator.media.container.opening import exact, opened, picture_stream, ticks
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.frame_times import Timed, only_some_stamped, timed
from annotator.media.index.reader import read_index
from annotator.media.pictures.key_frames import KeyFrame, key_frames
from annotator.media.pictures.picture import Renderer, Rgb
from annotator.model.timecode import SECOND, Ms
from annotator.plain_text import plain

__all__ = ["FrameReader", "KeyFrame", "frame_at", "key_frames"]

_ROUNDING: Final[Ms] = 1

_NEAR: Final[Ms] = 1_000
"""A picture this little ahead is reached sooner by decoding on than by a seek."""

_FIRST_STEP: Final[Ms] = 1_000
"""How much earlier to seek when a seek has landed behind the picture; doubled from then on."""

_MENDS: Final[Ms] = 16_000
"""A picture that is still broken when decoded from this much earlier is broken in the file."""


def frame_at(path: Path, ms: Ms, index: FrameIndex | None = None) -> Rgb:
    """The picture that a player shows at `ms`, upright, in square pixels, as full-range 8-bit RGB.

    Before the first picture and after the last it is that one. MediaError where there is none. The recording's
    `index` is needed where only some pictures have stamps, and read there if it is not given.
    """
    with FrameReader(path, index=index) as reader:
        return reader.at(ms)


class FrameReader:
    """A recording held open, to take pictures out of it one after another.

    Small steps forward decode on from picture to picture, anything else seeks. For one thread at a time.
    With a `width` the pictures come that many pixels wide, and sooner; `index` as for `frame_at`.
    """

    def __init__(self, path: Path, width: int | None = None, index: FrameIndex | None = None) -> None:
        self._path = path
        self._width = width
        self._files = ExitStack()
        self._index = index
        self._open()
        self._here: Timed | None = None
        self._next: Timed | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._files.close()

    def at(self, ms: Ms) -> Rgb:
        """The picture shown at `ms`, as `frame_at` gives it."""
        if not self._is_near(ms):
            self._find(ms)
        self._decode_on(ms)
        if self._here is None:
            raise MediaError(f"“{plain(self._path.name)}” contains no frame that can be decoded; export it again")
        return self._render(self._here.frame)

    @property
    def time(self) -> Ms | None:
        """When the picture given last is shown; None before there is one."""
        return None if self._here is None else self._here.time

    def is_damaged(self, at: Ms) -> bool:
        """Whether the picture given last is not whole, or not the one whose time is `at`: that one does not decode."""
        return self._here is None or self._here.frame.is_corrupt or abs(self._here.time - at) > _ROUNDING

    def _is_near(self, ms: Ms) -> bool:
        return self._here is not None and 0 <= ms - self._here.time <= _NEAR

    def _find(self, ms: Ms) -> None:
        """Decode up to the picture shown at `ms` from a key frame before it, however late seeks land in this file."""
        back = 0
        while True:
            from_start = not self._seek(ms - back)
            if from_start:
                self._open()
            self._here = first = next(self._coming, None)
            self._next = next(self._coming, None)
            self._decode_on(ms)
            if from_start or not (self._is_late(ms) or self._is_broken(back) or self._is_half(first)):
                return
            back = max(2 * back, _FIRST_STEP)

    def _is_late(self, ms: Ms) -> bool:
        return self._here is None or self._here.time > ms

    def _is_broken(self, back: Ms) -> bool:
        """Whether what the picture is made from lies before the place that was sought."""
        return self._here is not None and self._here.frame.is_corrupt and back < _MENDS

    def _is_half(self, first: Timed | None) -> bool:
        """Whether the seek may have landed between the two fields of the picture."""
        return self._here is first and fields_may_part(self._stream)

    def _decode_on(self, ms: Ms) -> None:
        while self._next is not None and self._next.time <= ms:
            self._here, self._next = self._next, next(self._coming, None)

    def _open(self) -> None:
        """Stand at the very start, where some containers cannot seek to."""
        self._files.close()
        with ExitStack() as files:
            self._container = files.enter_context(opened(self._path))
            self._stream = picture_stream(self._container, self._path)
            self._files = files.pop_all()
        self._zero = zero_of(self._container, self._stream)
        self._render = Renderer(exact(self._stream.sample_aspect_ratio), self._width)
        use_threads(self._container, self._stream)
        if only_some_stamped(self._container):
            self._index = self._index or read_index(self._path)
        self._coming = self._timed()

    def _timed(self) -> Iterator[Timed]:
        return timed(self._container, self._stream, decoded(self._container, self._stream), self._index)

    def _seek(self, ms: Ms) -> bool:
        """Stand at or before `ms` as the container sees it; False where it has nothing so early or cannot seek."""
        target = floor((Fraction(ms, SECOND) + self._zero) / ticks(self._stream))
        if target <= (self._stream.start_time or 0):
            return False
        try:
            self._container.seek(target, stream=self._stream)
        except (av.error.FFmpegError, OSError):
            return False
        self._coming = self._timed()
        return True
