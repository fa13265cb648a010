"""Going to one frame: the review copy's small picture at once, then the recording's own.

The own picture is asked for once no further jump comes, so that dragging along decodes nothing large. Where the
player does not give it in time, it is decoded beside the player.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from annotator.desktop.playback.copy_decoder import CopyDecoder
from annotator.desktop.playback.decoder import FrameDecoder
from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers
from annotator.media.index.frame_index import FrameIndex
from annotator.media.write.review_copy import ReviewCopy
from annotator.model.timecode import Ms

_PATIENCE = 400
"""Milliseconds that the player has for showing a frame before it is decoded beside it."""

_REST = 80
"""Milliseconds without a further jump after which the recording's own picture is asked for."""


class Source(NamedTuple):
    """A file that holds a recording's frames, by how many ms they come later in it, and when each is shown in it, where
    that is known.
    """

    path: Path
    shift: Ms
    frames: FrameIndex | None = None


class Seeker(QObject):
    """`wanted` is the frame whose own picture is not on screen yet, though its small one may be.

    aimed        the player should be sent to this FrameNumber
    small        a FrameNumber and the copy's picture of it
    sharp        a FrameNumber and the recording's own picture, decoded beside the player
    damaged      a FrameNumber at which the recording turned out to be damaged
    copy_failed  the number of a recording whose copy turned out to be damaged
    """

    aimed = Signal(object)
    small = Signal(object, object)
    sharp = Signal(object, object)
    damaged = Signal(object)
    copy_failed = Signal(int)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.wanted: FrameNumber | None = None
        self._is_patient = True
        self._places: FrameNumbers | None = None
        self._paths: Sequence[Path | None] = ()
        self._decoder = FrameDecoder(self)
        self._decoder.ready.connect(self.sharp)
        self._decoder.damaged.connect(self.damaged)
        self._decoder.failed.connect(self.damaged)
        self._doubt = FrameDecoder(self)
        self._doubt.damaged.connect(self.damaged)
        self._look = CopyDecoder(self)
        self._look.ready.connect(self.small)
        self._look.failed.connect(self._give_up_copy)
        self._patience = QTimer(self, singleShot=True, interval=_PATIENCE)
        self._patience.timeout.connect(self.decode)
        self._rest = QTimer(self, singleShot=True, interval=_REST)
        self._rest.timeout.connect(self.aim)

    def open(self, places: FrameNumbers, paths: Sequence[Path | None]) -> None:
        self._places, self._paths = places, paths

    def close(self) -> None:
        """Let go of the files."""
        self.arrive()
        for part in (self._decoder, self._look, self._doubt):
            part.close()
        self._places, self._paths = None, ()
        self._look.forget_copies()

    def use_copy(self, recording: int, copy: ReviewCopy | None) -> None:
        """Use a review copy of the recording of that number from now on, or none any more."""
        self._look.use_copy(recording, copy)

    def source(self, recording: int) -> Source | None:
        """What a recording's frames come from soonest, its own picture or not; None where it is missing."""
        copy, path = self._look.copy_of(recording), self._paths[recording]
        if copy is not None:
            return Source(copy.path, copy.shift)
        frames = self._places.frames(recording) if self._places else None
        return Source(path, 0, frames) if path is not None else None

    def go(self, place: FrameNumber, *, playing: bool, seen: bool) -> None:
        """Show a frame; while the recording plays the player is sent there at once, and waited for.

        A frame that is `seen` already is not shown small first.
        """
        self.wanted, self._is_patient = place, playing
        self._decoder.forget()
        self._patience.stop()
        if self._places is not None and not seen:
            self._look.decode_small(place, self._places, place)
        if self._look.copy_of(place.recording) is not None and not playing:
            self._rest.start()
        else:
            self.aim()

    def aim(self) -> None:
        """Have the player sent to the wanted frame now."""
        self._rest.stop()
        if self.wanted is not None:
            if not self._is_patient:
                self._patience.start()
            self.aimed.emit(self.wanted)

    def decode(self) -> None:
        """Decode the wanted frame beside the player."""
        path = self._paths[self.wanted.recording] if self.wanted is not None else None
        if self.wanted is not None and path is not None and self._places is not None:
            at, frames = self._places.extent(self.wanted)[0], self._places.frames(self.wanted.recording)
            self._decoder.decode(self.wanted, path, at, frames=frames)

    def look_into(self, place: FrameNumber) -> None:
        """Decode a frame that the player left out, only to know whether it is damaged."""
        source = self.source(place.recording)
        if source is not None and source.frames is not None:
            self._doubt.decode(place, source.path, int(source.frames.times[place.frame]), frames=source.frames)

    def arrive(self) -> None:
        """The wanted frame is on screen, or no longer wanted."""
        self.wanted = None
        for part in (self._decoder, self._look):
            part.forget()
        for timer in (self._patience, self._rest):
            timer.stop()

    def _give_up_copy(self, place: FrameNumber) -> None:
        if self._look.copy_of(place.recording) is not None:
            self.use_copy(place.recording, None)
            self.copy_failed.emit(place.recording)
