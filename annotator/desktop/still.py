"""One frame decoded beside the player, exact in every container."""

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from annotator.desktop.work import Work
from annotator.media.frames import FrameReader
from annotator.model.timecode import Ms
from annotator.progress import Progress


class _Request(NamedTuple):
    token: object
    path: Path
    at: Ms


class Still(QObject):
    """Decodes the frame asked for last; an earlier one that is still under way is finished and dropped.

    ready  the token given with the request, and a QImage
    """

    ready = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._wanted: _Request | None = None
        self._under_way: _Request | None = None
        self._work: Work | None = None
        self._reader: FrameReader | None = None
        self._reader_path: Path | None = None

    def decode(self, token: object, path: Path, at: Ms) -> None:
        """Decode the frame that stands at `at` ms in a recording."""
        self._wanted = _Request(token, path, at)
        if self._work is None:
            self._start()

    def forget(self) -> None:
        self._wanted = None

    def close(self) -> None:
        """Forget, and wait until nothing is decoded any more."""
        self._wanted = None
        if self._work is not None:
            self._work.wait()
        self._let_go()

    def _start(self) -> None:
        request = self._wanted
        if request is None:
            return

        def job(_progress: Progress) -> QImage:
            return to_image(self._reader_of(request.path).at(request.at))

        self._under_way = request
        self._work = Work(job, self)
        self._work.done.connect(self._finish)
        self._work.failed.connect(self._give_up)
        self._work.start()

    def _reader_of(self, path: Path) -> FrameReader:
        """The recording held open, as steps are mostly to the next frame; one thread at a time comes here."""
        if self._reader is None or self._reader_path != path:
            self._let_go()
            self._reader, self._reader_path = FrameReader(path).__enter__(), path
        return self._reader

    def _let_go(self) -> None:
        if self._reader is not None:
            self._reader.__exit__(None, None, None)
        self._reader = None

    def _finish(self, image: object) -> None:
        done = self._under_way
        self._clear()
        if done is not None and done == self._wanted:
            self._wanted = None
            self.ready.emit(done.token, image)
        else:
            self._start()

    def _give_up(self, _error: object) -> None:
        if self._under_way == self._wanted:
            self._wanted = None
        self._clear()
        self._start()

    def _clear(self) -> None:
        if self._work is not None:
            self._work.deleteLater()
        self._work = self._under_way = None


def to_image(rgb: NDArray[np.uint8]) -> QImage:
    """An RGB array as a picture that owns its pixels."""
    height, width, _ = rgb.shape
    packed = np.ascontiguousarray(rgb)
    return QImage(packed.data, width, height, 3 * width, QImage.Format.Format_RGB888).copy()
