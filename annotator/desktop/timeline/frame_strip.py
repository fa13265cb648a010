"""The exact frames for thumbnails at a close zoom, decoded from review copies one by one in the background."""

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QImage, QPixmap

from annotator.desktop.playback.copy_decoder import CopyDecoder
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.media.write.review_copy import ReviewCopy
from annotator.model.timecode import Ms

_MOST_KEPT = 400
"""Pictures that are kept ready to paint."""


class FrameStrip(QObject):
    """Asked while painting: gives what it has, and gets what it was asked for last.

    came  there is a frame more, or there may be
    """

    came = Signal()

    def __init__(self, places: FrameNumbers, parent: QObject) -> None:
        super().__init__(parent)
        self._places = places
        self._kept: dict[tuple[FrameNumber, int], QPixmap] = {}
        self._missing: set[FrameNumber] = set()
        self._wanted: list[tuple[FrameNumber, int]] = []
        self._under_way: tuple[FrameNumber, int] | None = None
        self._decoder = CopyDecoder(self)
        self._decoder.ready.connect(self._take)
        self._decoder.failed.connect(self._give_up)

    def use_copy(self, recording: int, copy: ReviewCopy | None) -> None:
        """Use a review copy of the recording of that number from now on, or none any more."""
        self._decoder.use_copy(recording, copy)
        self.came.emit()

    def begin(self) -> None:
        """The strip is painted anew: what was asked for before, and is not asked for again, is not wanted any more."""
        self._wanted.clear()

    def at(self, at: Ms, height: int) -> QPixmap | None:
        """The frame that stands at a case time, so many pixels high; None where it is not there yet, or can't be."""
        place = self._places.at(at)
        if place is None or self._decoder.copy_of(place.recording) is None or place in self._missing:
            return None
        key = place, height
        if key not in self._kept:
            self._wanted.append(key)
            self._go_on()
        return self._kept.get(key)

    def close(self) -> None:
        """Nothing is decoded any more once this returns."""
        self._wanted.clear()
        self._decoder.close()

    def _go_on(self) -> None:
        while self._under_way is None and self._wanted:
            key = self._wanted.pop(0)
            if self._decoder.decode_small(key, self._places, key[0]):  # else the copy has gone meanwhile
                self._under_way = key
        if self._under_way is None:
            self._decoder.close()  # an open copy of three hours takes 60 MB

    def _take(self, key: tuple[FrameNumber, int], image: QImage) -> None:
        while len(self._kept) >= _MOST_KEPT:
            del self._kept[next(iter(self._kept))]
        scaled = image.scaledToHeight(key[1], Qt.TransformationMode.SmoothTransformation)
        self._kept[key] = QPixmap.fromImage(scaled)
        self._under_way = None
        self.came.emit()
        self._go_on()

    def _give_up(self, key: tuple[FrameNumber, int]) -> None:
        self._missing.add(key[0])
        self._under_way = None
        self._go_on()
