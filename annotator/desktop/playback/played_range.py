"""The part of the case that playing keeps to, until it is left."""

from PySide6.QtCore import QObject, Signal

from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.model.interval import Interval


class PlayedRange(QObject):
    """left  playing goes on without bounds"""

    left = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._ends: tuple[FrameNumber, FrameNumber] | None = None
        self._again = False

    def keep_to(self, places: FrameNumbers, interval: Interval, *, again: bool) -> bool:
        """Keep to the frames of a part of the case, over and over or once; False where it has none to show."""
        first, last = places.at(interval.start), places.at(interval.end - 1)
        if first is None or last is None or last < first:
            return False
        self._ends, self._again = (first, last), again
        return True

    def leave(self) -> None:
        """Keep to nothing any more."""
        if self._ends is not None:
            self._ends = None
            self.left.emit()

    def leave_for(self, place: FrameNumber | None) -> None:
        """Keep to it no longer if it does not hold the place that is wanted."""
        if self._ends is not None and (place is None or not self._ends[0] <= place <= self._ends[1]):
            self.leave()

    def leave_unless_again(self) -> None:
        if not self._again:
            self.leave()

    @property
    def last(self) -> FrameNumber | None:
        """Its last frame; None where it keeps to nothing."""
        return self._ends[1] if self._ends is not None else None

    @property
    def returns_to(self) -> FrameNumber | None:
        """Its first frame if it is played over and over."""
        return self._ends[0] if self._ends is not None and self._again else None

    def first_after(self, place: FrameNumber) -> FrameNumber | None:
        """Its first frame if `place` is its last, from which playing starts anew."""
        return self._ends[0] if self._ends is not None and place == self._ends[1] else None

    def is_beyond(self, place: FrameNumber) -> bool:
        """Whether a frame lies behind its end."""
        return self._ends is not None and place > self._ends[1]
