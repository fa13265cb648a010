"""A recording held open for the pictures that are wanted next, and closed once none has been for a while."""

from pathlib import Path

from PySide6.QtCore import QObject, QTimer

from annotator.media.index.frame_index import FrameIndex
from annotator.media.pictures.frames import FrameReader

_IDLE = 5_000
"""Milliseconds without a picture after which the recording is closed: three hours of it take 70 MB while it is open,
and a tenth of a second to open again.
"""


class HeldReader(QObject):
    """For one thread at a time, which asks between `use` and `rest`; with a `width`, pictures come that wide."""

    def __init__(self, parent: QObject, width: int | None = None) -> None:
        super().__init__(parent)
        self._width = width
        self._reader: FrameReader | None = None
        self._path: Path | None = None
        self._idle = QTimer(self, singleShot=True, interval=_IDLE)
        self._idle.timeout.connect(self.close)

    def use(self) -> None:
        """Pictures are wanted from now on."""
        self._idle.stop()

    def rest(self) -> None:
        """None is wanted just now, and no thread reads."""
        if self._reader is not None:
            self._idle.start()

    def of(self, path: Path, frames: FrameIndex | None) -> FrameReader:
        """The recording, opened where another one is held or none; `frames` say when each of its frames is shown.

        Raises MediaError.
        """
        if self._reader is None or self._path != path:
            self.close()
            self._reader, self._path = FrameReader(path, self._width, frames).__enter__(), path
        return self._reader

    def close(self) -> None:
        """Let go of the file; no thread reads."""
        if self._reader is not None:
            self._reader.__exit__(None, None, None)
        self._reader = None
