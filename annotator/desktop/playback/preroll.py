"""How playing starts at exactly one frame, wherever the player lands when it is sent there.

In MPEG transport streams it lands on a later key frame, and where frame rates vary it may be a frame off. Then
it is sent there once more, from so much earlier that it lands before the frame, and runs up to it unseen and
unheard: no frame before the one is shown, none after it is lost. Qt 6.11 was seen to land half a second late even
when sent to the start of such a stream; it begins there only with a stream that it has just opened.
"""

from enum import Enum, auto
from typing import Final

from annotator.desktop.playback.frame_numbers import FrameNumber
from annotator.model.timecode import Ms

_FIRST: Final[Ms] = 1_000
"""How much earlier to begin with; doubled as often as needed."""

RATE: Final = 8.0
"""Speed of the run-up: what a player shows without leaving frames out, as far as the machine can."""


class Verdict(Enum):
    SHOW = auto()
    PASS_OVER = auto()
    GO_EARLIER = auto()


class Preroll:
    """For one recording: `due` is the frame that playing begins with, None once it has come."""

    def __init__(self) -> None:
        self.due: FrameNumber | None = None
        self._back: Ms = 0
        self._from_start = False
        self._came_before = False
        self._from_opening = False
        self._last_due: FrameNumber | None = None
        self._trail: FrameNumber | None = None

    @property
    def lands_late(self) -> bool:
        """Whether the player is known not to reach frames of this recording when it is sent to them."""
        return self._back > 0 or self._from_opening

    def aim(self, place: FrameNumber, middle: Ms, stood: FrameNumber | None) -> Ms | None:
        """From where to play so that the frame with this middle is the first to be shown: ms of the recording, or
        None for the recording just opened.

        `stood` is the frame given last: frames that follow it may still be on their way here.
        """
        self.due, self._trail = place, stood
        self._came_before = False
        self._from_opening = self._from_opening and place == self._last_due
        self._last_due = place
        self._from_start = middle <= self._back
        return None if self._from_opening else max(middle - self._back, 0)

    def take(self, given: FrameNumber) -> Verdict:
        """What to do with a frame that the player gives while it plays."""
        before, self._trail = self._trail, given
        if self.due is None or given == self.due:
            self.due = None
            return Verdict.SHOW
        trails = before is not None and given in (before, FrameNumber(before.recording, before.frame + 1))
        if given < self.due:
            self._came_before = self._came_before or not trails
            return Verdict.PASS_OVER
        if before is not None and trails:
            # Either it comes from where the player was before, or the player was there and left the frame out.
            self._came_before = before < self.due
            return self.end_late() if before < self.due else Verdict.PASS_OVER
        return self.end_late()

    def end_late(self) -> Verdict:
        """What to do where the player is past the frame, or past the recording's end, without having given it."""
        if self._came_before or self._from_opening:
            # It was there and left the frame out, or there is nothing earlier: what it gives must do.
            self.due = None
            return Verdict.SHOW
        if self._from_start:
            self._from_opening = True
        else:
            self._back = max(2 * self._back, _FIRST)
        return Verdict.GO_EARLIER

    def forget(self) -> None:
        """Nothing is waited for any more."""
        self.due = None
