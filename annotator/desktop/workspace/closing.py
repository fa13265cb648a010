"""Whether the open case may be closed: nothing is lost and no publishing is stopped without asking."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.widgets.question import ask
from annotator.desktop.workspace.bench import Bench

_STOPPED = "Closing stops it. Finished files stay; nothing is left half-written."

Wanted = Callable[[], object]
"""What the case was to be closed for: done once the user gives up what stands in its way."""


class Closing(QObject):
    """kept_open  something would be lost, which the window says"""

    kept_open = Signal()

    def __init__(self, window: QWidget, bench: Callable[[], Bench | None], close_case: Wanted) -> None:
        super().__init__(window)
        self._window = window
        self._bench = bench
        self._wanted = self._close_case = close_case
        self._is_asking = False

    def may_close(self, wanted: Wanted) -> bool:
        """Whether all of the case is kept, what is being typed too, and nothing is being written of it."""
        end_typing()
        if not self._has_written(wanted):
            return False
        bench = self._bench()
        if bench is None or bench.controller.retry.finish():
            self._wanted = self._close_case
            return True
        self._wanted = wanted
        self.kept_open.emit()
        return False

    def when_written(self, does: Wanted) -> None:
        """Do what closes the case by itself, but only once nothing is being written of it."""
        if self._has_written(does):
            does()

    def close_without(self) -> None:
        """Give up the changes that the disk does not take, and do what was wanted last, or close the case."""
        bench = self._bench()
        if bench is not None:
            bench.controller.retry.drop()
            self._wanted()

    def give_up(self) -> None:
        """Keep what can be kept without a question; the rest is given up, and what is being written is stopped."""
        end_typing()
        bench = self._bench()
        if bench is not None:
            bench.publish.close_down()
            if not bench.controller.retry.finish():
                bench.controller.retry.drop()

    def _has_written(self, wanted: Wanted) -> bool:
        """Whether nothing is being written of the case; else the user is asked."""
        bench = self._bench()
        if bench is None or not bench.publish.is_writing:
            return True
        if not self._is_asking:
            self._ask_to_stop(bench, wanted)
        return False

    def _ask_to_stop(self, bench: Bench, wanted: Wanted) -> None:
        def stop() -> None:
            shown = self._bench()  # the case may have been shown anew meanwhile
            if shown is not None:
                shown.publish.stop()
            wanted()

        bench.controller.player.pause()
        self._is_asking = True
        answers = [("Stop and close", stop)]
        box = ask(self._window, "Publishing is still running.", _STOPPED, answers, "Keep publishing", stay=True)
        bench.publish.finished.connect(box.reject)
        box.finished.connect(self._end_asking)

    def _end_asking(self) -> None:
        self._is_asking = False
