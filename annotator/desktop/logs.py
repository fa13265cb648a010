"""What Qt and the video libraries say goes to the program's log, not to the user's terminal."""

import logging
import os
import sys
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def keep_terminal_clean(log: Path) -> None:
    """Send Qt's messages and everything that C libraries write on stderr to a file.

    Python's own stderr stays on the terminal. Where no log can be written, nothing is changed.
    """
    try:
        log.parent.mkdir(parents=True, exist_ok=True)
        out = log.open("w", encoding="utf-8", buffering=1)
    except OSError:
        return
    logging.basicConfig(stream=out, level=logging.INFO, format="%(asctime)s %(name)s %(levelname)s %(message)s")
    qInstallMessageHandler(_to_log)
    if sys.stderr is not None:
        terminal = os.fdopen(os.dup(2), "w", encoding="utf-8", errors="replace", buffering=1)
        os.dup2(out.fileno(), 2)
        sys.stderr = terminal


def keep_faults(tell: Callable[[str], None]) -> None:
    """A fault in the program itself goes to the log, with a sentence for the user instead of a traceback."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        logging.getLogger("annotator").critical("a fault", exc_info=(kind, error, trace))
        tell(f"A fault in the program ({kind.__name__}: {error}); the details are in the log. Your changes are kept.")

    sys.excepthook = hook


def _to_log(kind: QtMsgType, context: QMessageLogContext, message: str | None) -> None:
    logging.getLogger(context.category or "qt").log(_LEVELS.get(kind, logging.WARNING), "%s", message)
