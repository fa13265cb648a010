"""Qt's player with one recording, and the workarounds that make it do what it is asked for."""

from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTimer, QUrl, Signal
from PySide6.QtMultimedia import QAudioOutput, QMediaDevices, QMediaPlayer, QtAudio, QVideoFrame, QVideoSink

from annotator.model.timecode import Ms

_A_SCREEN_HAS = 16
"""Milliseconds from one picture of a screen to the next, rounded down so that none is missed."""


class QtPlayer(QObject):
    """Times are ms of the recording.

    gave    a frame (QVideoFrame), in the order that it shows them; each of them, or the newest now and then
    loaded  the recording is open, and can be aimed at and played
    ended   it has run out
    failed  a sentence
    """

    gave = Signal(object)
    loaded = Signal()
    ended = Signal()
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._loading = False
        self.is_loaded = False
        self.is_playing = False
        self._hushed = False
        self._volume = 1.0
        self._sink = QVideoSink(self)
        self._sink.videoFrameChanged.connect(self._take_told)
        self._looks = QTimer(self, interval=_A_SCREEN_HAS, timerType=Qt.TimerType.PreciseTimer)
        self._looks.timeout.connect(self._look)
        self._looked_at: int | None = None
        self._media = QMediaPlayer(self)
        self._media.setVideoSink(self._sink)
        self._media.mediaStatusChanged.connect(self._take_status)
        self._media.errorOccurred.connect(self._take_error)
        self._devices = QMediaDevices(self)
        self._devices.audioOutputsChanged.connect(self._choose_sound)
        self._choose_sound()

    def load(self, path: Path | None) -> None:
        """Open a recording, standing still; None lets go of the one that is open."""
        self._loading, self.is_loaded, self.is_playing = False, False, False
        self._media.setSource(QUrl())  # else the recording that is open would not be opened again
        if path is not None:
            self._media.setSource(QUrl.fromLocalFile(str(path)))

    def aim(self, at: Ms) -> None:
        """Go there. Well inside a frame, as on its edge the player may take the one before."""
        if not self.is_playing and self._media.playbackState() == QMediaPlayer.PlaybackState.StoppedState:
            # A player that has run out shows nothing that it is asked for until it is paused.
            self._media.pause()
        self._media.setPosition(at)

    def play(self) -> None:
        self.is_playing = True
        self._media.play()

    def pause(self) -> None:
        self.is_playing = False
        self._media.pause()

    def set_rate(self, rate: float) -> None:
        if rate != self._media.playbackRate():
            self._media.setPlaybackRate(rate)

    def give_newest(self) -> None:
        """From now on give the newest frame as often as a screen shows one, and no other.

        Each frame that is told of waits in this thread's queue until its turn comes, in memory that FFmpeg keeps for
        the next ones: a window that is busy for a quarter of a second would take 200 MB, and not return them.
        """
        if not self._looks.isActive():
            self._looked_at = None
            self._sink.blockSignals(True)
            self._looks.start()

    def give_each(self) -> QVideoFrame | None:
        """From now on give each frame again; returns the newest one so far, where not each was given."""
        if not self._looks.isActive():
            return None
        self._looks.stop()
        self._sink.blockSignals(False)  # first, so that no frame falls between the two
        newest = self._sink.videoFrame()
        return newest if newest.isValid() else None

    def hush(self, hushed: bool) -> None:
        """Give no sound, or give it again."""
        self._hushed = hushed
        sound = self._media.audioOutput()
        if sound is not None and sound.isMuted() != hushed:
            sound.setMuted(hushed)

    def set_volume(self, volume: float) -> None:
        """How loud, from 0 to 1 as the ear has it."""
        self._volume = volume
        sound = self._media.audioOutput()
        if sound is not None:
            scale = QtAudio.VolumeScale
            sound.setVolume(QtAudio.convertVolume(volume, scale.CubicVolumeScale, scale.LinearVolumeScale))

    def _look(self) -> None:
        newest = self._sink.videoFrame()
        if newest.startTime() != self._looked_at:
            self._looked_at = newest.startTime()
            self._take_frame(newest)

    def _take_told(self, frame: QVideoFrame) -> None:
        if not self._looks.isActive():  # else it has waited since before, and a later one was given
            self._take_frame(frame)

    def _take_frame(self, frame: QVideoFrame) -> None:
        if self.is_loaded and frame.isValid():
            self.gave.emit(frame)

    def _take_status(self, status: QMediaPlayer.MediaStatus) -> None:
        if status == QMediaPlayer.MediaStatus.LoadingMedia:
            self._loading = True
        elif status == QMediaPlayer.MediaStatus.LoadedMedia and self._loading:
            # Without having loaded it, the player only says that it is done with the file before.
            self._loading, self.is_loaded = False, True
            self.loaded.emit()
        elif status == QMediaPlayer.MediaStatus.EndOfMedia:
            if self._looks.isActive():
                self._look()  # the last frame may have come since
            self.is_playing = False
            self.ended.emit()

    def _take_error(self, _error: QMediaPlayer.Error, says: str) -> None:
        self.failed.emit(f"This computer can't play this recording: {says or 'the player does not know its format'}")

    def _choose_sound(self) -> None:
        """Sound where there is a device for it; without one the recording plays silently."""
        device = QMediaDevices.defaultAudioOutput()
        if not device.isNull():
            self._media.setAudioOutput(QAudioOutput(device, self))
            self.hush(self._hushed)
            self.set_volume(self._volume)
