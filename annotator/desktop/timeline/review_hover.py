"""The larger view of the frame under the pointer: that frame from the review copy, else the nearest key frame."""

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QImage, QPixmap

from annotator.desktop.playback.copy_decoder import CopyDecoder
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.desktop.timeline.film_lane import decoded
from annotator.desktop.timeline.frame_preview import HEIGHT, FramePreview
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.media.write.review_copy import ReviewCopy
from annotator.model.timecode import Ms


class HoverLook(QObject):
    """Fills the preview. A frame from the copy is shown together with its own time, once it is decoded."""

    def __init__(self, preview: FramePreview, places: FrameNumbers, strips: StripMaker, parent: QObject) -> None:
        super().__init__(parent)
        self._preview = preview
        self._places = places
        self._strips = strips
        self._where: tuple[int, int] = (0, 0)
        self._look = CopyDecoder(self)
        self._look.ready.connect(self._take)

    def use_copy(self, recording: int, copy: ReviewCopy | None) -> None:
        """Use a review copy of the recording of that number from now on, or none any more."""
        self._look.use_copy(recording, copy)

    def show(self, at: Ms | None, x: int, bottom: int) -> None:
        """Show the frame at a case time over `x`, the lower edge at `bottom`; hide where there is no time."""
        self._where = (x, bottom)
        place = None if at is None else self._places.at(at)
        if at is None:
            self._look.forget()
            self._preview.hide()
        elif place is None or not self._look.decode_small(place, self._places, place):
            self._look.forget()
            spot = self._places.spot(at)
            thumbnail = self._strips.films[spot.recording].at(spot.at)
            picture = QPixmap()
            if thumbnail is not None:
                picture = decoded(thumbnail, self._pixels)
            self._show(picture, at)

    def close(self) -> None:
        self._look.close()

    @property
    def _pixels(self) -> int:
        return round(HEIGHT * self._preview.devicePixelRatioF())

    def _take(self, place: FrameNumber, image: QImage) -> None:
        scaled = image.scaledToHeight(self._pixels, Qt.TransformationMode.SmoothTransformation)
        self._show(QPixmap.fromImage(scaled), self._places.time(place))

    def _show(self, picture: QPixmap, at: Ms) -> None:
        picture.setDevicePixelRatio(self._preview.devicePixelRatioF())
        x, bottom = self._where
        self._preview.show_frame(picture, at, x, bottom)
