"""Playing backwards: frames decoded beside the player, a few at a time, and shown in reverse at the right rate.

Nothing is shown at another frame's time: where decoding does not keep up, the clock waits for it.
"""

from collections import deque
from collections.abc import Callable
from time import monotonic
from typing import NamedTuple

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtGui import QImage

from annotator.desktop.playback.decoder import to_image
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.desktop.playback.held_reader import HeldReader
from annotator.desktop.playback.seeker import Source
from annotator.desktop.tasks.task import Job, Task
from annotator.model.timecode import SECOND, Ms
from annotator.progress import Progress

_WIDTH = 640
"""Pixels of pictures while they pass."""

_BATCH = 24
"""Pictures decoded in one go: no more than some 20 MB of them wait to be shown."""

_MOST_A_SECOND = 60
"""Pictures shown; at high speed some are left out."""


_ROUNDING: Ms = 1


class _Picture(NamedTuple):
    place: FrameNumber
    image: QImage
    until: Ms
    """Case time at which the frame ends, and so, backwards, is shown from."""


class _Batch(NamedTuple):
    """What was decoded in one go, and for which run; one that was stopped meanwhile has no use for it."""

    run: int
    pictures: list[_Picture]
    damaged: FrameNumber | None
    """The first of those that did not decode."""


class ReversePlayback(QObject):
    """shown    a FrameNumber and a QImage
    damaged  a FrameNumber at which the recording turned out to be damaged
    ended    there is nothing before the frame shown last
    """

    shown = Signal(object, object)
    damaged = Signal(object)
    ended = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._places: FrameNumbers | None = None
        self._source_of: Callable[[int], Source | None] = lambda _recording: None
        self._speed = 1.0
        self._running = False
        self._run = 0
        self._last: FrameNumber | None = None
        self._ready: deque[_Picture] = deque()
        self._task: Task | None = None
        self._held = HeldReader(self, _WIDTH)
        self._anchor: tuple[float, Ms] | None = None
        self._timer = QTimer(self, singleShot=True, timerType=Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._show_due)

    @property
    def is_running(self) -> bool:
        return self._running

    @property
    def speed(self) -> float:
        return self._speed

    def start(
        self, places: FrameNumbers, source_of: Callable[[int], Source | None], place: FrameNumber, speed: float
    ) -> None:
        """Show the frames before `place`, one after the other."""
        self._places, self._source_of = places, source_of
        self._running, self._speed, self._last = True, speed, place
        self._run += 1
        self._timer.stop()
        self._ready.clear()
        self._anchor = None
        self._fill()

    def set_speed(self, speed: float) -> None:
        self._speed, self._anchor = speed, None
        self._wait()

    def stop(self) -> None:
        self._running = False
        self._timer.stop()
        self._ready.clear()
        if self._task is not None:
            self._task.cancel()

    def close(self) -> None:
        """Stop, and wait until nothing is decoded any more."""
        self.stop()
        if self._task is not None:
            self._task.wait()
        self._held.close()

    # --- showing ---------------------------------------------------------------------------------------------

    def _wait(self) -> None:
        """Sleep until the next picture is due."""
        if not self._running or not self._ready or self._timer.isActive():
            return
        if self._anchor is None:
            self._anchor = (monotonic(), self._ready[0].until)
        self._timer.start(max(round((self._due(self._ready[0]) - monotonic()) * SECOND), 0))

    def _due(self, picture: _Picture) -> float:
        began, at = self._anchor or (monotonic(), picture.until)
        return began + (at - picture.until) / SECOND / self._speed

    def _show_due(self) -> None:
        picture, now = self._ready.popleft(), monotonic()
        self._anchor = self._anchor or (now, picture.until)
        while self._ready and self._due(self._ready[0]) <= now:
            picture = self._ready.popleft()
        if not self._ready:
            self._anchor = None
        self.shown.emit(picture.place, picture.image)
        self._fill()
        self._wait()

    # --- decoding ----------------------------------------------------------------------------------------------

    def _fill(self) -> None:
        """Have the next pictures decoded, once few are left."""
        if not self._running or self._task is not None or len(self._ready) > _BATCH // 2:
            return
        wanted = self._before()
        source = self._source_of(wanted[0].recording) if wanted else None
        if source is None or self._places is None:
            if not self._ready:
                self._running = False
                self.ended.emit()
            return
        self._last = wanted[-1]
        self._held.use()
        self._task = Task(self._job(source, wanted, self._places, self._run), self)
        self._task.done.connect(self._take)
        self._task.failed.connect(self._give_up)
        self._task.cancelled.connect(self._go_on)
        self._task.start()

    def _before(self) -> list[FrameNumber]:
        """The next frames to show, falling, all of one recording."""
        found: list[FrameNumber] = []
        if self._places is None or self._last is None:
            return found
        place = self._last
        while len(found) < _BATCH:
            before = self._places.neighbour(place, -self._stride(place))
            if before == place or (found and before.recording != found[0].recording):
                break
            found.append(before)
            place = before
        return found

    def _stride(self, place: FrameNumber) -> int:
        if self._places is None:
            return 1
        start, end = self._places.extent(place)
        return max(round(self._speed * SECOND / max(end - start, 1) / _MOST_A_SECOND), 1)

    def _job(self, source: Source, falling: list[FrameNumber], places: FrameNumbers, run: int) -> Job:
        rising = [(place, *places.extent(place), places.time(place)) for place in reversed(falling)]

        def job(progress: Progress) -> _Batch:
            reader = self._held.of(source.path, source.frames)
            found: list[_Picture] = []
            damaged: FrameNumber | None = None
            for number, (place, start, end, at) in enumerate(rising):
                progress(number, len(rising))
                picture = reader.at((start + end) // 2 + source.shift)
                if reader.is_damaged(start + source.shift):
                    damaged = damaged or place
                if abs((reader.time or 0) - start - source.shift) <= _ROUNDING:
                    found.append(_Picture(place, to_image(picture), at + end - start))
            return _Batch(run, found[::-1], damaged)

        return job

    def _take(self, batch: _Batch) -> None:
        self._clear()
        if batch.run == self._run and self._running:
            self._ready += batch.pictures
            if batch.damaged is not None:
                self.damaged.emit(batch.damaged)
        self._fill()
        self._wait()

    def _give_up(self, _error: object) -> None:
        self._clear()
        if self._running:
            self._running = False
            self.ended.emit()

    def _go_on(self) -> None:
        self._clear()
        self._fill()

    def _clear(self) -> None:
        if self._task is not None:
            self._task.deleteLater()
        self._task = None
        self._held.rest()
