"""What a bare player of Qt hands to its sink, told in the test's own thread."""

from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtMultimedia import QMediaPlayer, QVideoFrame, QVideoSink


class SeenFrames(QObject):
    """A bare player with a sink; `seen` tells each frame.

    The sink tells of frames in a thread of its own. A function that is joined to it directly, or parted from it
    while it plays, makes that thread wait for the interpreter, which waits for the player: so there is one
    join, to an object of this thread, for as long as the player lives.
    """

    seen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.sink = QVideoSink(self)
        self.sink.videoFrameChanged.connect(self._tell)
        self.player = QMediaPlayer(self)
        self.player.setVideoSink(self.sink)

    def load(self, path: str) -> None:
        self.player.setSource(QUrl.fromLocalFile(path))

    def close(self) -> None:
        """Let go of the file; no frame comes after it."""
        self.player.setSource(QUrl())

    def _tell(self, frame: QVideoFrame) -> None:
        if frame.isValid():
            self.seen.emit(frame)
