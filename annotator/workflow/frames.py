"""The frames of a whole case, over all its recordings, as times on the case's clock."""

from collections.abc import Mapping

from annotator.media.index.frame_index import FrameIndex
from annotator.model.case import Case, Spot
from annotator.model.timecode import Ms


class CaseFrames:
    """Frame boundaries of the recordings that could be read; a recording may be absent."""

    def __init__(self, case: Case, by_recording: Mapping[int, FrameIndex]) -> None:
        self._case = case
        self._by_recording = by_recording

    def has(self, recording: int) -> bool:
        """Whether the frames of the case's recording number `recording` (from 0) are known."""
        return recording in self._by_recording

    def index(self, recording: int) -> FrameIndex | None:
        """The frames of the case's recording number `recording` (from 0), or None where it is absent."""
        return self._by_recording.get(recording)

    def nearest(self, at: Ms) -> Ms:
        """The frame boundary nearest to a case time; the time itself where the recording is absent."""
        spot = self._case.spot(at)
        index = self._by_recording.get(spot.recording)
        return at if index is None else self._case.at(Spot(spot.recording, index.nearest(spot.at)))

    def frame_length(self, at: Ms) -> Ms:
        """How long the frame shown at a case time stays, in ms; 0 where the recording is absent."""
        spot = self._case.spot(at)
        index = self._by_recording.get(spot.recording)
        if index is None:
            return 0
        shown = index.shown_at(spot.at)
        until = index.times[shown + 1] if shown + 1 < len(index.times) else index.end
        return int(until - index.times[shown])
