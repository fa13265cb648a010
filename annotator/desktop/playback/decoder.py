"""One frame at a time, decoded beside the player; exact in every container."""

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from annotator.desktop.playback.held_reader import HeldReader
from annotator.desktop.tasks.task import Task
from annotator.errors import MediaError
from annotator.media.index.frame_index import FrameIndex
from annotator.model.timecode import Ms
from annotator.progress import Progress

_ROUNDING: Ms = 1


class _Request(NamedTuple):
    token: object
    path: Path
    at: Ms
    only: Ms | None
    frames: FrameIndex | None


class _Answer(NamedTuple):
    image: QImage
    is_damaged: bool


class FrameDecoder(QObject):
    """Decodes the frame asked for last; while one is under way, only the newest of further requests is kept.

    ready    the token given with the request, and a QImage
    damaged  the token of a request for a frame of a recording that is not whole there, before it is `ready`
    failed   the token of a request that came to nothing
    """

    ready = Signal(object, object)
    damaged = Signal(object)
    failed = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._next: _Request | None = None
        self._under_way: _Request | None = None
        self._task: Task | None = None
        self._held = HeldReader(self)

    def decode(
        self, token: object, path: Path, at: Ms, only: Ms | None = None, frames: FrameIndex | None = None
    ) -> None:
        """Decode the frame that stands at `at` ms in a recording; `only` is the one time it may have, `frames`
        when each is shown, where that is known.
        """
        self._next = _Request(token, path, at, only, frames)
        if self._task is None:
            self._start()

    def forget(self) -> None:
        """Tell nothing of what was asked for so far."""
        self._next = self._under_way = None

    def close(self) -> None:
        """Forget, and wait until nothing is decoded any more."""
        self.forget()
        if self._task is not None:
            self._task.wait()
        self._held.close()

    def _start(self) -> None:
        request = self._next
        if request is None:
            self._held.rest()
            return

        def job(_progress: Progress) -> _Answer:
            reader = self._held.of(request.path, request.frames)
            picture = reader.at(request.at)
            if request.only is not None and abs((reader.time or 0) - request.only) > _ROUNDING:
                raise MediaError("another frame stands there")
            return _Answer(to_image(picture), request.only is None and reader.is_damaged(request.at))

        self._held.use()
        self._under_way, self._next = request, None
        self._task = Task(job, self)
        self._task.done.connect(self._finish)
        self._task.failed.connect(self._give_up)
        self._task.start()

    def _finish(self, answer: "_Answer") -> None:
        done = self._clear()
        self._start()
        if done is not None:
            if answer.is_damaged:
                self.damaged.emit(done.token)
            self.ready.emit(done.token, answer.image)

    def _give_up(self, _error: object) -> None:
        done = self._clear()
        self._start()
        if done is not None:
            self.failed.emit(done.token)

    def _clear(self) -> _Request | None:
        """Put the work away that has ended; returns what it was for, if that is still wanted."""
        done = self._under_way
        if self._task is not None:
            self._task.deleteLater()
        self._task = self._under_way = None
        return done


def to_image(rgb: NDArray[np.uint8]) -> QImage:
    """An RGB array as a picture that owns its pixels, in the form that is painted fastest."""
    height, width, _ = rgb.shape
    packed = np.ascontiguousarray(rgb)
    image = QImage(packed.data, width, height, 3 * width, QImage.Format.Format_RGB888)
    return image.convertToFormat(QImage.Format.Format_RGB32)
