"""The first frame of a recording, shown while the rest of it is still being read."""

from contextlib import closing
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QLabel, QWidget

from annotator.desktop.playback.decoder import to_image
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.media.pictures.key_frames import key_frames
from annotator.progress import Progress

_MOST = QSize(480, 360)
_SMOOTHLY_WITHIN = (Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation)
_CALM = 250
"""Milliseconds: what is read sooner than that needs no picture that only flashes by."""


class FirstLook(QLabel):
    """Hidden until there is a picture."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("First picture of the recording")
        self._path = Path()
        self._task = LatestTask(self, in_turn=False)
        self._task.came.connect(self._show)
        self._timer = QTimer(self, singleShot=True, interval=_CALM)
        self._timer.timeout.connect(self._look)
        self.hide()

    def begin(self, path: Path) -> None:
        """Show the first picture of a recording in a moment; nothing where it has none that can be read."""
        self.end()
        self._path = path
        self._timer.start()

    def end(self) -> None:
        """Show nothing, also of what is under way."""
        self._timer.stop()
        self._task.forget()
        self.clear()
        self.hide()

    def close_down(self) -> None:
        """Nothing is read any more once this returns."""
        self.end()
        self._task.close_down()

    def _look(self) -> None:
        path, most = self._path, _MOST * self.devicePixelRatioF()

        def job(progress: Progress) -> QImage:
            with closing(key_frames(path, most.width(), progress=progress)) as pictures:
                first = next(pictures, None)
            image = QImage() if first is None else to_image(first.picture)
            high = image.height() > most.height()
            return image.scaled(most, *_SMOOTHLY_WITHIN) if high else image

        self._task.run(job)

    def _show(self, image: QImage) -> None:
        if not image.isNull():
            pixmap = QPixmap.fromImage(image)
            pixmap.setDevicePixelRatio(self.devicePixelRatioF())
            self.setPixmap(pixmap)
            self.show()
