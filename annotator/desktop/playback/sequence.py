"""Qt's player over all recordings of a case, by frames: which one it shows, and playing on from exactly one."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtMultimedia import QVideoFrame

from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.desktop.playback.preroll import RATE, Preroll, Verdict
from annotator.desktop.playback.qt_player import QtPlayer
from annotator.model.timecode import Ms

_START_UP = 3_000
"""Milliseconds after which a player that plays without a single frame is known to have no decoder for it."""

_CAN_NOT_PLAY = (
    "This computer can’t play this recording, because it has no decoder for it. "
    "Stepping and jumping still show every frame."
)


class PlaybackSequence(QObject):
    """gave    a frame (QVideoFrame) and its FrameNumber; while it plays, only such as are to be shown, and played fast
            no more than a screen shows
    ended   the recording of that number has run out
    failed  a sentence
    """

    gave = Signal(object, object)
    ended = Signal(int)
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.stands: FrameNumber | None = None
        """The frame given last, where the player has not been sent elsewhere since."""
        self.has_given = False
        """Whether it has given a frame of the recording that is open."""
        self._places: FrameNumbers | None = None
        self._paths: Sequence[Path | None] = ()
        self._recording = -1
        self._lead: Ms = 0
        self._target: FrameNumber | None = None
        self._plays = False
        self._speed = 1.0
        self._preroll = Preroll()
        self._start_up = QTimer(self, singleShot=True, interval=_START_UP)
        self._start_up.timeout.connect(self._give_up)
        self._player = QtPlayer(self)
        self._player.gave.connect(self._take_frame)
        self._player.loaded.connect(self._take_loaded)
        self._player.ended.connect(self._take_end)
        self._player.failed.connect(self.failed)

    def open(self, places: FrameNumbers, paths: Sequence[Path | None]) -> None:
        self._places, self._paths = places, paths

    def close(self) -> None:
        """Let go of the recording that is open."""
        self.pause()
        self._load(-1)

    def show(self, place: FrameNumber) -> None:
        """Stand on a frame, as near as the player comes."""
        self._target, self._plays = place, False
        self._aim()

    def play(self, place: FrameNumber) -> None:
        """Play from a frame on, which is the first one given."""
        self._target, self._plays = place, True
        self._start_up.start()
        if place == self.stands:
            self._player.play()
        else:
            self._aim()

    def pause(self) -> None:
        self._plays = False
        self._start_up.stop()
        if self._player.is_playing:
            self._player.pause()
        self._take_each()
        self._preroll.forget()
        self._run_freely()

    def set_speed(self, speed: float) -> None:
        self._speed = speed
        self._take_each()
        self._run_freely()

    def set_volume(self, volume: float) -> None:
        self._player.set_volume(volume)

    # --- getting there ----------------------------------------------------------------------------------------

    def _aim(self) -> None:
        """Send the player to the target, or where it plays so far before that the target comes by."""
        place = self._target
        if place is None or self._places is None:
            return
        if place.recording != self._recording:
            self._load(place.recording)
        elif self._player.is_loaded:
            self._take_each()
            stood, self.stands = self.stands, None
            # Qt takes whole ms: at a frame's edge the rounding could lead to the frame before.
            middle = self._middle(place)
            at = self._preroll.aim(place, middle, stood) if self._plays else middle
            if at is None:
                self._player.load(self._paths[self._recording])
                return
            self._player.aim(at + self._lead)
            if self._plays:
                self._run()

    def _load(self, recording: int) -> None:
        self._take_each()
        self._recording, self.stands = recording, None
        self.has_given, self._lead = False, 0
        self._preroll = Preroll()
        self._run_freely()
        self._player.load(self._paths[recording] if recording >= 0 else None)

    def _take_loaded(self) -> None:
        """A recording that has just been opened stands on its first frame by itself."""
        place = self._target
        if place is None or self._places is None:
            return
        at = self._preroll.aim(place, self._middle(place), None) if self._plays else None
        if self._plays and (at is None or not place.frame):
            self._run()
            return
        self._player.pause()
        if place.frame:
            self._aim()

    def _run(self) -> None:
        """Play; unseen what comes before the frame that is due, so that much sooner and unheard."""
        if self._preroll.lands_late:
            self._player.hush(True)
            self._player.set_rate(RATE)
        self._player.play()

    def _run_freely(self) -> None:
        """At the chosen speed and with sound, once nothing is run up to any more."""
        if self._preroll.due is None:
            self._player.hush(False)
            self._player.set_rate(self._speed)

    # --- what comes -------------------------------------------------------------------------------------------

    def _take_frame(self, frame: QVideoFrame) -> None:
        told = self._places.nearest(self._recording, frame.startTime()) if self._places else None
        if told is None:
            return
        self.has_given = True
        last, self.stands, self._lead = self.stands, told.place, told.lead
        if not self._plays:
            self.gave.emit(frame, told.place)
            return
        was_due = self._preroll.due is not None
        verdict = self._preroll.take(told.place)
        if verdict is Verdict.GO_EARLIER:
            self._aim()
        elif verdict is Verdict.SHOW and (was_due or last is None or told.place > last):
            self._run_freely()
            if self._speed > 1:
                self._player.give_newest()
            self.gave.emit(frame, told.place)

    def _take_each(self) -> None:
        """Take each frame that comes from now on; played fast, it was the newest only."""
        newest = self._player.give_each()
        told = self._places.nearest(self._recording, newest.startTime()) if newest and self._places else None
        if told is not None:
            self.stands = told.place

    def _middle(self, place: FrameNumber) -> Ms:
        return 0 if self._places is None else sum(self._places.extent(place)) // 2

    def _take_end(self) -> None:
        self._take_each()
        self.stands = None
        if self._plays and self._preroll.due is not None and self._preroll.end_late() is Verdict.GO_EARLIER:
            self._aim()
        elif self._recording >= 0:
            self._give_up()
            self.ended.emit(self._recording)

    def _give_up(self) -> None:
        if self._plays and not self.has_given:
            self.pause()
            self.failed.emit(_CAN_NOT_PLAY)
