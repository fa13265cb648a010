"""Where playing begins: with one frame, whatever the player lands on when it is sent there.

In MPEG transport streams it lands on a later key frame, and where frame rates vary it may be a frame off. Then
it is sent there once more, from so much earlier that it lands before the frame, and runs up to it unseen and
unheard: no frame before the one is shown, none after it is lost.
"""

from enum import Enum, auto
from typing import Final

from annotator.desktop.places import Place
from annotator.model.timecode import Ms

_FIRST: Final[Ms] = 1_000
"""How much earlier to begin with; doubled as often as needed."""

RATE: Final = 8.0
"""Speed of the run-up: what a player shows without leaving frames out, as far as the machine can."""


class Verdict(Enum):
    SHOW = auto()
    PASS_OVER = auto()
    GO_EARLIER = auto()


class RunUp:
    """For one recording: `due` is the frame that playing begins with, None once it has come."""

    def __init__(self) -> None:
        self.due: Place | None = None
        self._back: Ms = 0
        self._from_start = False
        self._came_before = False

    @property
    def lands_late(self) -> bool:
        """Whether the player is known not to reach frames of this recording when it is sent to them."""
        return self._back > 0

    def aim(self, place: Place, middle: Ms) -> Ms:
        """From where to play, in ms of the recording, so that the frame with this middle is the first to be shown."""
        self.due = place
        self._came_before = False
        self._from_start = middle <= self._back
        return max(middle - self._back, 0)

    def take(self, given: Place) -> Verdict:
        """What to do with a frame that the player gives while it plays."""
        if self.due is None or given == self.due:
            self.due = None
            return Verdict.SHOW
        if given < self.due:
            self._came_before = True
            return Verdict.PASS_OVER
        return self.end_late()

    def end_late(self) -> Verdict:
        """What to do where the player is past the frame, or past the recording's end, without having given it."""
        if self._came_before or self._from_start:
            # It was there and left the frame out, or there is nothing earlier: what it gives must do.
            self.due = None
            return Verdict.SHOW
        self.note_late()
        return Verdict.GO_EARLIER

    def note_late(self) -> None:
        """Remember that the player landed behind a frame."""
        self._back = max(2 * self._back, _FIRST)

    def forget(self) -> None:
        """Nothing is waited for any more."""
        self.due = None
