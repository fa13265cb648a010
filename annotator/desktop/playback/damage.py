"""Notices while it plays that a recording may be damaged, and tells of each that is only once."""

from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.model.timecode import Ms

_WIDE_GAP: Ms = 150
"""Milliseconds without a frame, at the recording's own speed, after which damage is thought of."""


class DamageWatch:
    def __init__(self) -> None:
        self._known: set[int] = set()

    def forget(self) -> None:
        """The recordings are others now."""
        self._known.clear()

    def left_out(self, places: FrameNumbers, before: FrameNumber, place: FrameNumber) -> FrameNumber | None:
        """The first frame that was left out between two that were shown, if it is worth a look.

        The machine may be slow, or the recording damaged: a look at that frame tells.
        """
        if before.recording != place.recording or before.recording in self._known or place.frame <= before.frame + 1:
            return None
        first = places.neighbour(before, 1)
        return first if places.time(place) - places.time(first) >= _WIDE_GAP else None

    def is_new(self, recording: int) -> bool:
        """Whether nobody has been told yet that the recording of this number is damaged; from now on somebody has."""
        is_new = recording not in self._known
        self._known.add(recording)
        return is_new
