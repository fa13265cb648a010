"""What watches the program's window, or a bare player of Qt, and tells of it; see `watched`."""

import random
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QEvent, QObject, QTimer, QUrl, Signal, SignalInstance
from PySide6.QtMultimedia import QMediaPlayer, QVideoFrame
from PySide6.QtMultimediaWidgets import QVideoWidget
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

if TYPE_CHECKING:  # a bare player needs nothing of it
    from annotator.desktop.window import Window

SPEED = 4.0
PLAYS = 10_000
"""Milliseconds."""

JUMPS = 100
_PATIENCE = 2_000
"""Milliseconds after which the next jump is made though no frame has come."""


class Playing(Protocol):
    """What the program's player and the bare one have in common; times in ms."""

    shown: SignalInstance

    def play(self) -> None: ...

    def pause(self) -> None: ...

    def seek(self, at: int, /) -> None: ...

    def set_speed(self, speed: float, /) -> None: ...


class Watch(QObject):
    """Tells when the window was painted first, and when a frame was; then calls on."""

    def __init__(self, window: QWidget, then: Callable[[], None]) -> None:
        super().__init__(window)
        self._then = then
        self._painted = self._framed = False
        self._look: QWidget | None = None
        window.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and not self._painted:
            self._painted = True
            tell("window", time.monotonic())
        elif watched is self._look and event.type() == QEvent.Type.Paint:
            self.take_frame()
        return False

    def also(self, look: QWidget) -> None:
        """Where the first frame may be seen as well: there it is when this is shown."""
        look.installEventFilter(self)
        self._look = look

    def take_frame(self) -> None:
        if not self._framed:
            self._framed = True
            QTimer.singleShot(0, self._tell)  # its turn comes when what was asked to be painted is

    def _tell(self) -> None:
        tell("first", time.monotonic())
        self._then()


class Task(QObject):
    """Plays for a while, then jumps about, then tells how much memory that took and ends the program."""

    def __init__(self, player: Playing, duration: int, parent: QObject) -> None:
        super().__init__(parent)
        self._player = player
        self._dice = random.Random(20261125)
        self._duration = duration
        self._left = JUMPS
        self._late = QTimer(self, singleShot=True, interval=_PATIENCE)
        self._late.timeout.connect(self._jump)

    def begin(self) -> None:
        self._player.set_speed(SPEED)
        self._player.play()
        QTimer.singleShot(PLAYS, self._scrub)

    def _scrub(self) -> None:
        self._player.pause()
        self._player.shown.connect(self._jump)
        self._jump()

    def _jump(self) -> None:
        if not self._left:
            tell("peak", _peak())
            QApplication.quit()
            return
        self._left -= 1
        self._late.start()
        self._player.seek(self._dice.randrange(self._duration))


class Bare(QObject):
    """Qt's player in Qt's video widget, and nothing else."""

    shown = Signal()

    def __init__(self, screen: QVideoWidget) -> None:
        super().__init__(screen)
        self._media = QMediaPlayer(self)
        self._media.setVideoOutput(screen)
        screen.videoSink().videoFrameChanged.connect(self._take)
        self._media.mediaStatusChanged.connect(self._take_status)

    def load(self, path: Path) -> None:
        self._media.setSource(QUrl.fromLocalFile(str(path)))

    def close(self) -> None:
        self._media.setSource(QUrl())

    @property
    def duration(self) -> int:
        return self._media.duration()

    def play(self) -> None:
        self._media.play()

    def pause(self) -> None:
        self._media.pause()

    def seek(self, at: int, /) -> None:
        self._media.setPosition(at)

    def set_speed(self, speed: float, /) -> None:
        self._media.setPlaybackRate(speed)

    def _take(self, frame: QVideoFrame) -> None:
        if frame.isValid():
            self.shown.emit()

    def _take_status(self, status: QMediaPlayer.MediaStatus) -> None:
        if status == QMediaPlayer.MediaStatus.LoadedMedia:
            self._media.pause()


def tell(what: str, value: float) -> None:
    sys.stdout.write(f"{what} {value}\n")
    sys.stdout.flush()


def _peak() -> float:
    """The most memory that this process held, in MB."""
    held = Path("/proc/self/status").read_text(encoding="ascii").split("VmHWM:")[1]
    return int(held.split()[0]) / 2**10


def run_bare(path: Path, *, works: bool) -> None:
    app = QApplication([])
    window = QMainWindow()
    screen = QVideoWidget()
    window.setCentralWidget(screen)
    window.resize(1440, 900)
    player = Bare(screen)

    def go_on() -> None:
        Task(player, player.duration, window).begin() if works else app.quit()

    watch = Watch(window, go_on)
    player.shown.connect(watch.take_frame)
    window.show()
    player.load(path)
    app.exec()
    player.close()


def watch_window(window: "Window", *, works: bool) -> None:
    """Have the program's window watched from when it opens something."""
    opens = window.open_paths

    def open_watched(paths: Sequence[Path], left_out: str = "") -> None:
        def go_on() -> None:
            if not works:
                window.close()
            elif window.controller is not None and window.bench is not None:
                work = Task(window.player, window.controller.case.duration, window)
                strips = window.bench.strips
                work.begin() if strips.is_done else strips.done.connect(work.begin)

        watch = Watch(window, go_on)
        watch.also(window.loading.look)
        window.player.shown.connect(watch.take_frame)
        opens(paths, left_out)

    window.open_paths = open_watched  # type: ignore[method-assign]  # to be watched from outside
