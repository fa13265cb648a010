"""Plays the recordings of a case as one, and knows which frame is on screen.

The time of a picture comes from the picture: from the frame that the video sink was given, matched to
the frame index. Where the player can't reach a frame exactly (it misjudges how long frames last when
their rate varies, and lands behind the wanted one in MPEG transport streams), the frame is decoded
beside it and shown as a still, again with its own time.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer, QUrl, Signal
from PySide6.QtMultimedia import QAudioOutput, QMediaDevices, QMediaPlayer, QVideoFrame, QVideoSink

from annotator.desktop.still import Still
from annotator.media.frame_index import FrameIndex
from annotator.model.case import Case, Spot
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames

SPEEDS = (0.5, 1.0, 1.5, 2.0, 4.0)

_PATIENCE = 400
"""Milliseconds that the player has for showing a frame before it is decoded beside it."""


class Place(NamedTuple):
    """A frame: the recording's number in the case and the frame's number in it, both from 0."""

    recording: int
    frame: int


class Player(QObject):
    """One player over all recordings of a case; times are on the case's clock.

    shown            a picture (QVideoFrame, QImage, or None where the recording is missing) and its time
    playing_changed  whether it plays
    speed_changed    the new speed
    failed           a sentence
    """

    shown = Signal(object, object)
    playing_changed = Signal(bool)
    speed_changed = Signal(float)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._case: Case | None = None
        self._frames: CaseFrames | None = None
        self._paths: Sequence[Path | None] = ()
        self._recording = -1
        self._loading = False
        self._loaded = False
        self._at: Ms = 0
        self._wanted: Place | None = None
        self._playing = False
        self._still = Still(self)
        self._still.ready.connect(self._take_still)
        self._patience = QTimer(self, singleShot=True, interval=_PATIENCE)
        self._patience.timeout.connect(self._decode_wanted)
        self._sink = QVideoSink(self)
        self._sink.videoFrameChanged.connect(self._take_frame)
        self._media = QMediaPlayer(self)
        self._media.setVideoSink(self._sink)
        self._media.mediaStatusChanged.connect(self._take_status)
        self._media.errorOccurred.connect(self._take_error)
        self._devices = QMediaDevices(self)
        self._devices.audioOutputsChanged.connect(self._choose_sound)
        self._choose_sound()

    # --- what it is doing ------------------------------------------------------------------------------

    @property
    def at(self) -> Ms:
        """Case time of the frame on screen."""
        return self._at

    @property
    def is_playing(self) -> bool:
        return self._playing

    @property
    def speed(self) -> float:
        return self._media.playbackRate()

    @property
    def is_settled(self) -> bool:
        """Whether the frame that was asked for last is on screen."""
        return self._wanted is None

    @property
    def has_sound_device(self) -> bool:
        return self._media.audioOutput() is not None

    # --- what it is told --------------------------------------------------------------------------------

    def open(self, case: Case, frames: CaseFrames, paths: Sequence[Path | None]) -> None:
        """Take the recordings of a case, None for one that is missing, and show the first frame."""
        self.close()
        self._case, self._frames, self._paths = case, frames, paths
        self.seek(0)

    def close(self) -> None:
        """Let go of the files."""
        self.pause()
        self._still.close()
        self._patience.stop()
        self._media.setSource(QUrl())
        self._case, self._frames, self._paths = None, None, ()
        self._recording, self._loaded, self._wanted, self._at = -1, False, None, 0

    def seek(self, at: Ms) -> None:
        """Show the frame that stands at a case time."""
        if self._case is None:
            return
        spot = self._case.spot(min(max(at, 0), max(self._case.duration - 1, 0)))
        index = self._index(spot.recording)
        if index is None or self._paths[spot.recording] is None:
            self._show_nothing(spot)
        else:
            self._go(Place(spot.recording, index.shown_at(spot.at)))

    def step(self, by: int) -> None:
        """Show the frame `by` frames on from the one on screen, over borders between recordings; stops playing."""
        here = self._wanted or self._here()
        if here is None:
            return
        self.pause()
        place = self._beyond(Place(here.recording, here.frame + by))
        if place is not None and place != self._here():
            self._go(place)

    def play(self) -> None:
        if self._index(self._recording) is None or self._playing:
            return
        self._set_playing(True)
        if self._is_last(self._wanted or self._here()):
            self.seek(0)
        if self._loaded:
            self._media.play()

    def pause(self) -> None:
        if self._playing:
            self._set_playing(False)
            self._media.pause()

    def toggle(self) -> None:
        if self._playing:
            self.pause()
        else:
            self.play()

    def set_speed(self, speed: float) -> None:
        self._media.setPlaybackRate(speed)
        self.speed_changed.emit(speed)

    # --- getting to a frame --------------------------------------------------------------------------------

    def _go(self, place: Place) -> None:
        self._wanted = place
        self._still.forget()
        self._patience.start()
        if place.recording != self._recording:
            self._recording, self._loading, self._loaded = place.recording, False, False
            self._media.setSource(QUrl.fromLocalFile(str(self._paths[place.recording])))
        elif self._loaded:
            if not self._playing and self._media.playbackState() == QMediaPlayer.PlaybackState.StoppedState:
                # A player that has run out shows nothing that it is asked for until it is paused.
                self._media.pause()
            self._media.setPosition(self._aim(place))

    def _aim(self, place: Place) -> Ms:
        """A time well inside the frame: on its edge the player may take the one before."""
        start, end = _extent(self._known(place.recording), place.frame)
        return (start + end) // 2

    def _take_status(self, status: QMediaPlayer.MediaStatus) -> None:
        if status == QMediaPlayer.MediaStatus.LoadingMedia:
            self._loading = True
        elif status == QMediaPlayer.MediaStatus.LoadedMedia and self._loading:
            # Without having loaded it, the player only says that it is done with the file before.
            self._loading, self._loaded = False, True
            if self._playing:
                self._media.play()
            else:
                self._media.pause()
            if self._wanted is not None and self._wanted.frame:
                self._media.setPosition(self._aim(self._wanted))
        elif status == QMediaPlayer.MediaStatus.EndOfMedia:
            self._take_end()

    def _take_end(self) -> None:
        index = self._index(self._recording)
        if index is None or self._case is None:
            return
        following = self._recording + 1
        if self._playing and following < len(self._paths) and self._paths[following] is not None:
            self._go(Place(following, 0))
            return
        self._set_playing(False)
        last = Place(self._recording, len(index.times) - 1)
        if self._wanted is None and self._here() != last:
            self._wanted = last
        self._decode_wanted()

    def _take_frame(self, frame: QVideoFrame) -> None:
        """Show a frame that the player gives, unless another one is waited for.

        A frame that comes while nothing is waited for and nothing plays was asked for earlier, and given up.
        """
        index = self._index(self._recording)
        if not (self._loaded and frame.isValid()) or index is None:
            return
        place = Place(self._recording, _nearest_frame(index, frame.startTime()))
        if self._playing or place == self._wanted:
            self._show(frame, place)
        elif self._wanted is not None:
            self._decode_wanted()

    def _decode_wanted(self) -> None:
        if self._wanted is None or self._playing:
            return
        path = self._paths[self._wanted.recording]
        index = self._index(self._wanted.recording)
        if path is not None and index is not None:
            self._still.decode(self._wanted, path, int(index.times[self._wanted.frame]))

    def _take_still(self, place: object, image: object) -> None:
        if place == self._wanted and isinstance(place, Place):
            self._show(image, place)

    def _show(self, picture: object, place: Place) -> None:
        self._wanted = None
        self._patience.stop()
        self._at = self._case_time(place.recording, int(self._known(place.recording).times[place.frame]))
        self.shown.emit(picture, self._at)

    def _show_nothing(self, spot: Spot) -> None:
        self.pause()
        self._media.setSource(QUrl())
        self._recording, self._loaded, self._wanted = -1, False, None
        self._at = self._case_time(*spot)
        self.shown.emit(None, self._at)

    # --- small questions ------------------------------------------------------------------------------------

    def _index(self, recording: int) -> FrameIndex | None:
        return None if self._frames is None else self._frames.index(recording)

    def _known(self, recording: int) -> FrameIndex:
        """The index of a recording that is known to have one."""
        index = self._index(recording)
        if index is None:
            raise LookupError(f"recording {recording} has no frames")
        return index

    def _case_time(self, recording: int, at: Ms) -> Ms:
        return 0 if self._case is None else self._case.at(Spot(recording, at))

    def _here(self) -> Place | None:
        if self._case is None:
            return None
        spot = self._case.spot(self._at)
        index = self._index(spot.recording)
        return None if index is None else Place(spot.recording, index.shown_at(spot.at))

    def _beyond(self, place: Place) -> Place | None:
        """A frame number that runs over an end of its recording, as one of the neighbour's; clamped to the case."""
        index = self._index(place.recording)
        if index is None:
            return None
        if place.frame < 0:
            before = self._index(place.recording - 1)
            return Place(place.recording, 0) if before is None else Place(place.recording - 1, len(before.times) - 1)
        if place.frame >= len(index.times):
            after = self._index(place.recording + 1)
            return Place(place.recording, len(index.times) - 1) if after is None else Place(place.recording + 1, 0)
        return place

    def _is_last(self, place: Place | None) -> bool:
        index = None if place is None else self._index(place.recording)
        if place is None or index is None:
            return False
        return place == Place(len(self._paths) - 1, len(index.times) - 1)

    def _set_playing(self, playing: bool) -> None:
        if playing != self._playing:
            self._playing = playing
            self.playing_changed.emit(playing)

    def _take_error(self, _error: QMediaPlayer.Error, says: str) -> None:
        self._set_playing(False)
        self.failed.emit(f"This recording can't be played here: {says or 'the player does not know its form'}")

    def _choose_sound(self) -> None:
        """Sound where there is a device for it; without one the recording plays silently."""
        device = QMediaDevices.defaultAudioOutput()
        if not device.isNull():
            self._media.setAudioOutput(QAudioOutput(device, self))


def _extent(index: FrameIndex, frame: int) -> tuple[Ms, Ms]:
    start = int(index.times[frame])
    end = int(index.times[frame + 1]) if frame + 1 < len(index.times) else int(index.end)
    return start, max(end, start)


def _nearest_frame(index: FrameIndex, microseconds: int) -> int:
    """The frame whose time was given by the player, which cuts it to whole microseconds.

    Index times are rounded up to the millisecond, so the exact time lies up to 1 ms before them.
    """
    meant = microseconds / 1000 + 0.5
    after = int(index.times.searchsorted(meant))
    candidates = [frame for frame in (after - 1, after) if 0 <= frame < len(index.times)]
    return min(candidates, key=lambda frame: abs(int(index.times[frame]) - meant))
