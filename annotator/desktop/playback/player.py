"""Plays the recordings of a case as one, and knows which frame is on screen.

The time of a picture comes from the picture: from the frame that Qt's player gave, matched to the frame index.
Where that player can't reach a frame exactly (it misjudges how long frames last when their rate varies, and
lands behind the wanted one in MPEG transport streams), the frame is decoded beside it and shown as a still,
again with its own time.
"""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtMultimedia import QVideoFrame

from annotator.desktop.playback.damage import DamageWatch
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.desktop.playback.played_range import PlayedRange
from annotator.desktop.playback.reverse import ReversePlayback
from annotator.desktop.playback.seeker import Seeker
from annotator.desktop.playback.sequence import PlaybackSequence
from annotator.media.write.review_copy import ReviewCopy
from annotator.model.case import Case, Spot
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames


class Player(QObject):
    """One player over all recordings of a case; times are on the case's clock.

    shown            a picture (QVideoFrame, QImage, or None where the recording is missing) and its time
    playing_changed  whether it plays, forwards or backwards
    speed_changed    the new speed; below zero while it plays backwards
    failed           a sentence
    damaged          the number of a recording that turned out to be damaged, and where, as a case time; told once
    copy_failed      the number of a recording whose review copy turned out to be damaged
    left_range       it plays on without the bounds that `keep_to` has set
    """

    shown = Signal(object, object)
    playing_changed = Signal(bool)
    speed_changed = Signal(float)
    failed = Signal(str)
    damaged = Signal(int, object)
    copy_failed = Signal(int)
    left_range = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._places: FrameNumbers | None = None
        self._paths: Sequence[Path | None] = ()
        self._at: Ms = 0
        self._playing = self._reversed = False
        self._trailing = False
        """Whether a frame may still come that was played before it stood still."""
        self._speed = 1.0
        self._range = PlayedRange(self)
        self._range.left.connect(self.left_range)
        self._sequence = PlaybackSequence(self)
        self._sequence.gave.connect(self._take_frame)
        self._sequence.ended.connect(self._take_end)
        self._sequence.failed.connect(self._take_failure)
        self._seeker = Seeker(self)
        self._seeker.aimed.connect(self._send_sequence)
        self._seeker.small.connect(self._take_small)
        self._seeker.sharp.connect(self._take_sharp)
        self._seeker.copy_failed.connect(self.copy_failed)
        self._damage = DamageWatch()
        self._reverse = ReversePlayback(self)
        self._reverse.shown.connect(self._take_passing)
        self._reverse.ended.connect(self.pause)
        self._seeker.damaged.connect(self._take_damage)
        self._reverse.damaged.connect(self._take_damage)

    # --- what it is doing ------------------------------------------------------------------------------

    @property
    def at(self) -> Ms:
        """Case time of the frame on screen."""
        return self._at

    @property
    def is_playing(self) -> bool:
        return self._playing

    @property
    def is_reversed(self) -> bool:
        """Whether it plays backwards."""
        return self._reversed

    @property
    def is_sharp(self) -> bool:
        """Whether the picture on screen is the recording's own and no other is waited for."""
        return self._seeker.wanted is None and not self._reversed

    @property
    def speed(self) -> float:
        """In the direction in which it plays."""
        return self._reverse.speed if self._reversed else self._speed

    @property
    def shows_frames(self) -> bool:
        """Whether it has shown a frame of the loaded recording itself, not only by stills beside it."""
        return self._sequence.has_given

    # --- what it is told --------------------------------------------------------------------------------

    def open(self, case: Case, frames: CaseFrames, paths: Sequence[Path | None]) -> None:
        """Take the recordings of a case, None for one that is missing, and show the first frame."""
        self.close()
        self._places, self._paths = FrameNumbers(case, frames), paths
        for part in (self._seeker, self._sequence):
            part.open(self._places, paths)
        self.seek(0)

    def close(self) -> None:
        """Let go of the files."""
        self._stop()
        for part in (self._seeker, self._reverse, self._sequence):
            part.close()
        self._places, self._paths, self._at = None, (), 0
        self._damage.forget()
        self._range.leave()

    def use_copy(self, recording: int, copy: ReviewCopy | None) -> None:
        """Use a review copy of the recording of that number from now on, or none any more."""
        self._seeker.use_copy(recording, copy)

    def set_volume(self, volume: float) -> None:
        """How loud it plays, from 0 to 1 as the ear has it."""
        self._sequence.set_volume(volume)

    def keep_to(self, interval: Interval, *, again: bool) -> bool:
        """Play no further than to the last frame of a part of the case: from its first on `again`, or stop there.

        Holds until the part is left: by a seek or a step, backwards, or at the end. False where it has no frame that
        can be shown.
        """
        return self._places is not None and self._range.keep_to(self._places, interval, again=again)

    def leave_range(self) -> None:
        """Play on as far as there is something."""
        self._range.leave()

    def seek(self, at: Ms) -> None:
        """Show the frame that stands at a case time; what plays goes on from there."""
        if self._places is None:
            return
        place = self._places.at(at)
        self._range.leave_for(place)
        if place is None or self._paths[place.recording] is None:
            self._show_nothing(self._places.spot(at))
        elif self._reversed:
            self._run_back(self._places, place, self._reverse.speed)
        else:
            self._go(place)

    def step(self, by: int) -> None:
        """Show the frame `by` frames on from the one on screen, over borders between recordings; stops playing."""
        here, was_sharp = self._goal, self.is_sharp
        if self._places is None or here is None:
            return
        self._stop()
        place = self._places.neighbour(here, by)
        self._range.leave_for(place)
        if place != self._here or not was_sharp:
            self._go(place)

    def play(self) -> None:
        """Play forwards from the frame on screen; from the last one of all, or of what it keeps to, from the first."""
        here = self._goal
        if self._places is None or here is None or (self._playing and not self._reversed):
            return
        self._stop()
        self._set_playing(True)
        first = self._range.first_after(here)
        if first is not None:
            self._go(first)
        elif self._places.is_end(here):
            self.seek(0)
        elif here == self._here == self._sequence.stands:
            self._sequence.play(here)
        else:
            self._go(here)

    def play_backwards(self) -> None:
        """Play backwards from the frame on screen, at the speed of the recording."""
        here = self._goal
        if self._places is None or here is None or self._reversed:
            return
        self._range.leave()
        self._stop()
        self._reversed = True
        self._set_playing(True)
        self.speed_changed.emit(-1.0)
        self._run_back(self._places, here, 1)

    def pause(self) -> None:
        """Stand still on the frame on screen."""
        if self._playing:
            was_reversed = self._reversed
            self._stop()
            here = self._goal
            if here is not None and (was_reversed or here != self._sequence.stands):
                self._go(here)
            self._range.leave_unless_again()

    def toggle(self) -> None:
        if self._playing:
            self.pause()
        else:
            self.play()

    def set_speed(self, speed: float) -> None:
        """The speed in the direction in which it plays."""
        if self._reversed:
            self._reverse.set_speed(speed)
            self.speed_changed.emit(-speed)
        else:
            self._speed = speed
            self._sequence.set_speed(speed)
            self.speed_changed.emit(speed)

    # --- getting to a frame --------------------------------------------------------------------------------

    @property
    def _here(self) -> FrameNumber | None:
        """The frame on screen."""
        return None if self._places is None else self._places.at(self._at)

    @property
    def _goal(self) -> FrameNumber | None:
        """The frame asked for last."""
        return self._seeker.wanted or self._here

    @property
    def _following(self) -> FrameNumber | None:
        """The frame after the one on screen."""
        return self._places.neighbour(self._here, 1) if self._places and self._here else None

    def _go(self, place: FrameNumber) -> None:
        self._trailing = False
        self._seeker.go(place, playing=self._playing, seen=place == self._here)

    def _run_back(self, places: FrameNumbers, place: FrameNumber, speed: float) -> None:
        """Show the frames before a place; until one of them is there, the place itself is where it stands."""
        self._seeker.arrive()
        self._seeker.wanted = place
        self._reverse.start(places, self._seeker.source, place, speed)

    def _send_sequence(self, place: FrameNumber) -> None:
        if self._playing and not self._reversed:
            self._sequence.play(place)
        else:
            self._sequence.show(place)

    # --- what comes -------------------------------------------------------------------------------------------

    def _take_frame(self, frame: QVideoFrame, place: FrameNumber) -> None:
        """Show a frame that the reel gives, unless another one is waited for.

        A frame that comes while nothing is waited for and nothing plays was asked for earlier, and given up, and so was
        one that comes while it plays backwards.
        """
        wanted = self._seeker.wanted
        if self._reversed:
            return
        if self._playing:
            if wanted is None and self._range.is_beyond(place):
                self._end_range()
                return
            if wanted is None:  # else it was sent here
                self._look_into_gap(place)
            self._show(frame, place)
        elif wanted is not None and place != wanted:
            self._seeker.decode()
        elif wanted is not None or (self._trailing and place == self._following):
            self._show(frame, place)

    def _look_into_gap(self, place: FrameNumber) -> None:
        here = self._here
        if self._places is None or here is None or self._speed > 1:  # played fast, frames are left out anyway
            return
        left_out = self._damage.left_out(self._places, here, place)
        if left_out is not None:
            self._seeker.look_into(left_out)

    def _take_damage(self, place: FrameNumber) -> None:
        if self._places is not None and self._damage.is_new(place.recording):
            self.damaged.emit(place.recording, self._places.time(place))

    def _take_end(self, recording: int) -> None:
        """Go on with the next recording, or stop on the last frame."""
        if self._places is None or self._reversed:
            return
        last = self._places.last(recording)
        following = self._places.neighbour(last, 1)
        can_go_on = following != last and self._paths[following.recording] is not None
        goal = following if can_go_on and not self._range.is_beyond(following) else self._range.returns_to
        if self._playing and goal is not None:
            self._go(goal)
            return
        self._stop()
        if self._seeker.wanted is None and self._here != last and self._sequence.has_given:
            self._seeker.wanted = last
        self._seeker.decode()
        self._range.leave()

    def _end_range(self) -> None:
        """From behind its last frame back to its first, or stand still on the last, which may have been left out."""
        again, last = self._range.returns_to, self._range.last
        if again is None:
            self.pause()
        goal = again or last
        if goal is not None:
            self._go(goal)

    def _take_small(self, place: FrameNumber, image: object) -> None:
        if self._seeker.wanted is not None:
            self._tell(image, place)

    def _take_sharp(self, place: FrameNumber, image: object) -> None:
        if place == self._seeker.wanted and not self._playing:
            self._show(image, place)

    def _take_passing(self, place: FrameNumber, image: object) -> None:
        if self._reversed:
            self._show(image, place)

    def _take_failure(self, says: str) -> None:
        self.pause()
        self.failed.emit(says)

    # --- showing ------------------------------------------------------------------------------------------------

    def _show(self, picture: object, place: FrameNumber) -> None:
        """A recording's own picture is there."""
        self._seeker.arrive()
        self._tell(picture, place)

    def _tell(self, picture: object, place: FrameNumber) -> None:
        if self._places is not None:
            self._at = self._places.time(place)
            self.shown.emit(picture, self._at)

    def _show_nothing(self, spot: Spot) -> None:
        self._stop()
        self._seeker.arrive()
        self._sequence.close()
        if self._places is not None:
            self._at = self._places.case_time(spot)
            self.shown.emit(None, self._at)

    # --- standing still -------------------------------------------------------------------------------------------

    def _stop(self) -> None:
        if not self._playing:
            return
        was_reversed, self._reversed = self._reversed, False
        self._reverse.stop()
        self._sequence.pause()
        self._trailing = not was_reversed
        self._set_playing(False)
        if was_reversed:
            self.speed_changed.emit(self._speed)

    def _set_playing(self, playing: bool) -> None:
        if playing != self._playing:
            self._playing = playing
            self.playing_changed.emit(playing)
