"""Qt's messages and every fault in the program go to the program's log, not to the user's terminal."""

import faulthandler
import logging
import os
import sys
import threading
from collections.abc import Callable
from types import TracebackType

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from annotator.workflow.log import keep_fault, open_log

_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def keep_terminal_clean() -> None:
    """Send Qt's messages to the log. What C libraries write on stderr is dropped: FFmpeg prints there the name of each
    recording and what its file says of itself, which are no matter of a log.

    Python's own stderr stays on the terminal. Where no log can be written, nothing is changed.
    """
    if open_log() is None:
        return
    qInstallMessageHandler(_to_log)
    if sys.stderr is not None:
        terminal = os.fdopen(os.dup(2), "w", encoding="utf-8", errors="replace", buffering=1)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)
        os.close(nowhere)
        sys.stderr = terminal
        faulthandler.enable(terminal)  # of a crash in a library, where in the program it was


def keep_faults(tell: Callable[[str], None]) -> None:
    """A fault in the program itself goes to the log, with a sentence for the user instead of a traceback."""

    def hook(kind: type[BaseException], error: BaseException, _trace: TracebackType | None) -> None:
        keep_fault(error)
        tell(f"A fault in the program ({kind.__name__}: {error}); the details are in the log. Your changes are safe.")

    def thread_hook(fault: threading.ExceptHookArgs) -> None:
        if fault.exc_value is not None:
            keep_fault(fault.exc_value)

    sys.excepthook = hook
    threading.excepthook = thread_hook


def _to_log(kind: QtMsgType, context: QMessageLogContext, message: str | None) -> None:
    logging.getLogger(context.category or "qt").log(_LEVELS.get(kind, logging.WARNING), "%s", message)
