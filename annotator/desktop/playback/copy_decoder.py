"""One frame at a time from the review copies: small and quick."""

from PySide6.QtCore import QObject

from annotator.desktop.playback.decoder import FrameDecoder
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.media.write.review_copy import ReviewCopy


class CopyDecoder(FrameDecoder):
    """As its base; it knows which recordings have a copy, and where in that each frame stands."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._copies: dict[int, ReviewCopy] = {}

    def use_copy(self, recording: int, copy: ReviewCopy | None) -> None:
        """Use a review copy of the recording of that number from now on, or none any more."""
        if copy is not None:
            self._copies[recording] = copy
        else:
            self._copies.pop(recording, None)

    def copy_of(self, recording: int) -> ReviewCopy | None:
        """The copy of the recording of that number, where there is one."""
        return self._copies.get(recording)

    def decode_small(self, token: object, places: FrameNumbers, frame: FrameNumber) -> bool:
        """Decode a frame from the copy of its recording; False where there is none.

        It is asked for in its middle, and has failed where another one stands there: the copy is damaged then.
        """
        copy = self._copies.get(frame.recording)
        if copy is None:
            return False
        start, end = places.extent(frame)
        self.decode(token, copy.path, (start + end) // 2 + copy.shift, only=start + copy.shift)
        return True

    def forget_copies(self) -> None:
        """There are none any more, as the case is another one."""
        self._copies.clear()
