"""Frames by number over all recordings of a case; pure, no player."""

from math import ceil
from typing import NamedTuple

from annotator.media.index.frame_index import FrameIndex
from annotator.model.case import Case, Spot
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames


class FrameNumber(NamedTuple):
    """A frame: the recording's number in the case and the frame's number in it, both from 0."""

    recording: int
    frame: int


class Told(NamedTuple):
    """The frame that a player told the time of, and how many ms before zero that player counts from."""

    place: FrameNumber
    lead: Ms


class FrameNumbers:
    """Which frame stands at a case time, when a frame is shown, and which comes next, over borders too.

    A place is only ever asked about in a recording whose frames are known; `at` says where none are.
    """

    def __init__(self, case: Case, frames: CaseFrames) -> None:
        self._case = case
        self._frames = frames

    def frames(self, recording: int) -> FrameIndex | None:
        """When each frame of a recording is shown, where that is known."""
        return self._frames.index(recording)

    def spot(self, at: Ms) -> Spot:
        """Case time as recording and time within it, kept within the case."""
        return self._case.spot(min(max(at, 0), max(self._case.duration - 1, 0)))

    def case_time(self, spot: Spot) -> Ms:
        return self._case.at(spot)

    def at(self, at: Ms) -> FrameNumber | None:
        """The frame that stands at a case time; None where the recording's frames are not known."""
        spot = self.spot(at)
        index = self._frames.index(spot.recording)
        return None if index is None else FrameNumber(spot.recording, index.shown_at(spot.at))

    def time(self, place: FrameNumber) -> Ms:
        """Case time of a frame."""
        return self._case.at(Spot(place.recording, self.extent(place)[0]))

    def extent(self, place: FrameNumber) -> tuple[Ms, Ms]:
        """From when to when a frame is shown, in ms of its recording."""
        index = self._known(place.recording)
        start = int(index.times[place.frame])
        return start, int(index.times[place.frame + 1]) if place.frame + 1 < len(index) else index.end

    def nearest(self, recording: int, microseconds: int) -> Told | None:
        """The frame whose time a player gave, which cuts it to whole microseconds; None where none is known.

        Index times are rounded up to the millisecond, so the exact time lies up to 1 ms before them. Some players
        count from where the sound's packets begin, before zero; which one this is shows by what fits better.
        """
        index = self._frames.index(recording)
        if index is None:
            return None
        meant = microseconds / 1000 + 0.5
        found = [(lead, *_closest(index, meant - lead)) for lead in dict.fromkeys((0, index.sound_lead))]
        lead, frame, _ = min(found, key=lambda one: one[2])
        return Told(FrameNumber(recording, frame), lead)

    def last(self, recording: int) -> FrameNumber:
        """A recording's last frame."""
        return FrameNumber(recording, len(self._known(recording)) - 1)

    def neighbour(self, place: FrameNumber, by: int) -> FrameNumber:
        """The frame `by` frames on; at an end of a recording that of the next one, where its frames are known."""
        wanted = FrameNumber(place.recording, place.frame + by)
        if wanted.frame < 0:
            before = place.recording - 1
            return self.last(before) if self._frames.has(before) else FrameNumber(place.recording, 0)
        if wanted.frame > self.last(place.recording).frame:
            after = place.recording + 1
            return FrameNumber(after, 0) if self._frames.has(after) else self.last(place.recording)
        return wanted

    def is_end(self, place: FrameNumber) -> bool:
        """Whether a frame is the last of the case."""
        return place.recording == len(self._case.recordings) - 1 and place == self.last(place.recording)

    def _known(self, recording: int) -> FrameIndex:
        index = self._frames.index(recording)
        if index is None:
            raise LookupError(f"the frames of recording {recording + 1} are not known")
        return index


def _closest(index: FrameIndex, meant: float) -> tuple[int, float]:
    """The number of the frame whose time is closest, and how far off it is, in ms."""
    after = int(index.times.searchsorted(ceil(meant)))  # a float would make numpy turn every time into one
    candidates = [frame for frame in (after - 1, after) if 0 <= frame < len(index)]
    return min(((frame, abs(int(index.times[frame]) - meant)) for frame in candidates), key=lambda one: one[1])
