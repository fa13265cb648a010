"""Reads recordings one after the other, in the background, for the list of them."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.latest_task import LatestTask
from annotator.progress import Progress
from annotator.workflow.new_case import read_recording
from annotator.workflow.recording_files import in_natural_order, recordings_in


class RecordingReader(QObject):
    """found       the paths that were named, with those of a folder in its place, in natural order
    not_found   why a folder that was named brings none
    read        a path and the Recording there
    failed      a path and why it can't be read
    progressed  a path and how much of it is read, from 0 to 1
    """

    found = Signal(object)
    not_found = Signal(str)
    read = Signal(object, object)
    failed = Signal(object, str)
    progressed = Signal(object, float)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._named: list[Path] = []
        self._left: list[Path] = []
        self._case_path = Path()
        self._kept_in: Path | None = None
        self._path: Path | None = None
        # Not in turn: what hangs on a network must not keep the others from being read.
        self._looking = LatestTask(self, in_turn=False)
        self._looking.came.connect(self._tell_found)
        self._looking.failed.connect(self._tell_not_found)
        self._reading = LatestTask(self, in_turn=False)
        self._reading.progressed.connect(self._tell_progress)
        self._reading.came.connect(self._tell_read)
        self._reading.failed.connect(self._tell_failed)

    @property
    def is_looking(self) -> bool:
        """Whether recordings that were named are still to be found."""
        return self._looking.is_used

    def begin(self, case_path: Path, kept_in: Path | None) -> None:
        """Read for the case at a path from now on, and nothing of what was asked for before."""
        self.stop()
        self._case_path, self._kept_in = case_path, kept_in

    def look_for(self, paths: Sequence[Path]) -> None:
        """Find the recordings that are named, also those in folders."""
        self._named += paths
        self._looking.run(partial(_recordings, tuple(self._named)))

    def add(self, path: Path) -> None:
        """Read this too."""
        self._left.append(path)
        self._go_on()

    def drop(self, path: Path) -> None:
        """This need not be read any more."""
        if path in self._left:
            self._left.remove(path)
        elif path == self._path:
            self._reading.forget()
            self._go_on()

    def stop(self) -> None:
        """Tell nothing of what was asked for so far."""
        self._named.clear()
        self._left.clear()
        self._looking.forget()
        self._reading.forget()

    def close_down(self) -> None:
        """Nothing is read any more once this returns."""
        self.stop()
        self._looking.close_down()
        self._reading.close_down()

    def _go_on(self) -> None:
        if self._reading.is_used or not self._left:
            return
        self._path = path = self._left.pop(0)
        case_path, kept_in = self._case_path, self._kept_in

        def job(progress: Progress) -> object:
            return read_recording(path, case_path, kept_in, progress)

        self._reading.run(job)

    def _tell_found(self, paths: object) -> None:
        self._named.clear()
        self.found.emit(paths)

    def _tell_not_found(self, error: object) -> None:
        self._named.clear()
        self.not_found.emit(str(error))

    def _tell_progress(self, share: float, _left: object) -> None:
        self.progressed.emit(self._path, share)

    def _tell_read(self, recording: object) -> None:
        self.read.emit(self._path, recording)
        self._go_on()

    def _tell_failed(self, error: object) -> None:
        self.failed.emit(self._path, str(error))
        self._go_on()


def _recordings(paths: Sequence[Path], _progress: Progress) -> list[Path]:
    found = [one for path in paths for one in (recordings_in(path) if path.is_dir() else [path])]
    return in_natural_order(dict.fromkeys(found))
