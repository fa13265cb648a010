"""The program's log, of the command line and of the window: what went wrong, and where in the program.

Whoever reports a fault passes it on, and names of files often hold those of patients. So it says where in the code
something happened and of what kind it was; of a message that may hold what somebody wrote it keeps nothing.
"""

import logging
import re
import traceback
from collections.abc import Iterator
from copy import copy
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from annotator.workflow.own_folders import log_file

LARGEST = 500_000
"""Bytes at which a new file is begun."""

KEPT = 2
"""Files before the one that is written, the oldest of which goes."""

_OF_THE_CODE = (ArithmeticError, AttributeError, ImportError, NameError, RecursionError, TypeError)
"""Errors whose words name parts of the program, not what it works on."""

_NAMES = re.compile(
    r"""(?:file:|[A-Za-z]:[\\/]|[\\/])[^'"“”\n:]*  # a path or address, with blanks, up to a quote or a colon
    |“[^”\n]*” | "[^"\n]*" | '[^'\n]*'             # what stands in quotes""",
    re.VERBOSE,
)

_Fault = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


def open_log(file: Path | None = None) -> Path | None:
    """Keep in a file what is logged from now on; returns which, or None where none can be written."""
    path = log_file() if file is None else file
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        made = _Kept(path, maxBytes=LARGEST, backupCount=KEPT, encoding="utf-8", errors="backslashreplace")
    except OSError:
        return None
    made.setFormatter(_WithoutNames("%(asctime)s %(threadName)s %(name)s %(levelname)s %(message)s"))
    root = logging.getLogger()
    root.addHandler(made)
    root.setLevel(logging.INFO)
    return path


def keep_fault(error: BaseException, what: str = "a fault") -> None:
    """Log an error that should not have been."""
    logging.getLogger("annotator").error(what, exc_info=error)


def without_names(text: str) -> str:
    """A message without paths, and without what stands in quotes."""
    return _NAMES.sub("…", text)


class _Kept(RotatingFileHandler):
    def handleError(self, _record: logging.LogRecord) -> None:
        """A full disk must not stop what is being done; there is nowhere to tell it."""


class _WithoutNames(logging.Formatter):
    def format(self, record: logging.LogRecord) -> str:
        """Of a copy, as other formatters leave in the record what they made of an error."""
        own = copy(record)
        own.exc_text = None
        return super().format(own)

    def formatMessage(self, record: logging.LogRecord) -> str:
        record.message = without_names(record.message)
        return super().formatMessage(record)

    def formatException(self, ei: _Fault) -> str:
        return "\nwhich came of\n".join(_told(error) for error in _chain(ei[1]))


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    """An error, and those that it came of."""
    seen: set[int] = set()
    while error is not None and id(error) not in seen:
        yield error
        seen.add(id(error))
        error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)


def _told(error: BaseException) -> str:
    """Where it happened, and what is safe to say of it."""
    says = error.strerror or "" if isinstance(error, OSError) else ""
    if isinstance(error, _OF_THE_CODE):
        says = str(error)
    where = "".join(traceback.format_tb(error.__traceback__))
    return f"{where}{type(error).__module__}.{type(error).__qualname__}{f': {says}' if says else ''}"
