"""Plays the recordings of a case as one, and knows which frame is on screen.

The time of a picture comes from the picture: from the frame that the video sink was given, matched to
the frame index. Where the player can't reach a frame exactly (it misjudges how long frames last when
their rate varies, and lands behind the wanted one in MPEG transport streams), the frame is decoded
beside it and shown as a still, again with its own time.
"""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, QUrl, Signal
from PySide6.QtMultimedia import QAudioOutput, QMediaDevices, QMediaPlayer, QVideoFrame, QVideoSink

from annotator.desktop.places import Place, Places
from annotator.desktop.still import Still
from annotator.model.case import Case, Spot
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames

_PATIENCE = 400
"""Milliseconds that the player has for showing a frame before it is decoded beside it."""

_START_UP = 3_000
"""Milliseconds after which a player that plays without a single frame is known to have no decoder for it."""

_CAN_NOT_PLAY = (
    "The player of this machine can't show this recording while it runs, as it has no decoder for it. "
    "Steps and jumps show every frame all the same."
)


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
        self._places: Places | None = None
        self._paths: Sequence[Path | None] = ()
        self._recording = -1
        self._loading = False
        self._loaded = False
        self._lead: Ms = 0
        self._at: Ms = 0
        self._wanted: Place | None = None
        self._playing = False
        self._still = Still(self)
        self._still.ready.connect(self._take_still)
        self._patience = QTimer(self, singleShot=True, interval=_PATIENCE)
        self._patience.timeout.connect(self._decode_wanted)
        self._gives_frames = False
        self._start_up = QTimer(self, singleShot=True, interval=_START_UP)
        self._start_up.timeout.connect(self._give_up_playing)
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
    def shows_frames(self) -> bool:
        """Whether it has shown a frame of the loaded recording itself, not only by stills beside it."""
        return self._gives_frames

    # --- what it is told --------------------------------------------------------------------------------

    def open(self, case: Case, frames: CaseFrames, paths: Sequence[Path | None]) -> None:
        """Take the recordings of a case, None for one that is missing, and show the first frame."""
        self.close()
        self._places, self._paths = Places(case, frames), paths
        self.seek(0)

    def close(self) -> None:
        """Let go of the files."""
        self.pause()
        self._still.close()
        self._patience.stop()
        self._media.setSource(QUrl())
        self._places, self._paths = None, ()
        self._recording, self._loading, self._loaded, self._wanted, self._at = -1, False, False, None, 0

    def seek(self, at: Ms) -> None:
        """Show the frame that stands at a case time."""
        if self._places is None:
            return
        place = self._places.at(at)
        if place is None or self._paths[place.recording] is None:
            self._show_nothing(self._places.spot(at))
        else:
            self._go(place)

    def step(self, by: int) -> None:
        """Show the frame `by` frames on from the one on screen, over borders between recordings; stops playing."""
        here = self._wanted or self._here()
        if self._places is None or here is None:
            return
        self.pause()
        place = self._places.neighbour(here, by)
        if place != self._here() or self._wanted is not None:
            self._go(place)

    def play(self) -> None:
        here = self._wanted or self._here()
        if self._places is None or here is None or self._playing or self._recording < 0:
            return
        self._set_playing(True)
        if self._places.is_end(here):
            self.seek(0)
        if self._loaded:
            self._media.play()
        self._start_up.start()

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
            self._gives_frames, self._lead = False, 0
            self._media.setSource(QUrl.fromLocalFile(str(self._paths[place.recording])))
        elif self._loaded:
            if not self._playing and self._media.playbackState() == QMediaPlayer.PlaybackState.StoppedState:
                # A player that has run out shows nothing that it is asked for until it is paused.
                self._media.pause()
            self._aim_at(place)

    def _aim_at(self, place: Place) -> None:
        """Send the player well inside the frame: on its edge it may take the one before."""
        if self._places is not None:
            self._media.setPosition(sum(self._places.extent(place)) // 2 + self._lead)

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
                self._aim_at(self._wanted)
        elif status == QMediaPlayer.MediaStatus.EndOfMedia:
            self._take_end()

    def _take_end(self) -> None:
        """Go on with the next recording, or stop on the last frame."""
        if self._places is None or self._recording < 0:
            return
        last = self._places.last(self._recording)
        following = self._places.neighbour(last, 1)
        if self._playing and following != last and self._paths[following.recording] is not None:
            self._go(following)
            return
        self._give_up_playing()
        self._set_playing(False)
        if self._wanted is None and self._here() != last and self._gives_frames:
            self._wanted = last
        self._decode_wanted()

    def _take_frame(self, frame: QVideoFrame) -> None:
        """Show a frame that the player gives, unless another one is waited for.

        A frame that comes while nothing is waited for and nothing plays was asked for earlier, and given up.
        """
        if self._places is None or not (self._loaded and frame.isValid()):
            return
        self._gives_frames = True
        told = self._places.nearest(self._recording, frame.startTime())
        self._lead = told.lead if told else 0
        if told is not None and (self._playing or told.place == self._wanted):
            self._show(frame, told.place)
        elif self._wanted is not None:
            self._decode_wanted()

    def _decode_wanted(self) -> None:
        if self._wanted is None or self._playing or self._places is None:
            return
        path = self._paths[self._wanted.recording]
        if path is not None:
            self._still.decode(self._wanted, path, self._places.extent(self._wanted)[0])

    def _give_up_playing(self) -> None:
        if self._playing and not self._gives_frames:
            self.pause()
            self.failed.emit(_CAN_NOT_PLAY)

    def _take_still(self, place: object, image: object) -> None:
        if isinstance(place, Place) and place == self._wanted:
            self._show(image, place)

    def _show(self, picture: object, place: Place) -> None:
        if self._places is not None:
            self._wanted = None
            self._patience.stop()
            self._at = self._places.time(place)
            self.shown.emit(picture, self._at)

    def _show_nothing(self, spot: Spot) -> None:
        self.pause()
        self._media.setSource(QUrl())
        self._recording, self._loaded, self._wanted = -1, False, None
        if self._places is not None:
            self._at = self._places.case_time(spot)
            self.shown.emit(None, self._at)

    def _here(self) -> Place | None:
        return None if self._places is None else self._places.at(self._at)

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
