"""Being told to end by another program: by a shell, a shutdown, a terminal that is closed.

Python would be ended on the spot then, and leave behind what it was writing.
"""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final

SIGNALS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name))
"""SIGHUP: the terminal is gone; Windows says SIGBREAK to that, and has no SIGHUP."""


class Ended(BaseException):
    """Raised in the main thread wherever it is, as KeyboardInterrupt is, so that everything cleans up on its way out.

    `status` is the exit status that a shell gives to a program ended by that signal.
    """

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = 128 + number


@contextmanager
def ending_cleanly() -> Iterator[None]:
    """Raise Ended where one of the signals comes; only the first, so that nothing disturbs the cleaning up.

    One that was to be ignored from the start, as by nohup, stays ignored.
    """
    heard = [number for number in SIGNALS if signal.getsignal(number) is not signal.SIG_IGN]

    def end(number: int, _frame: FrameType | None) -> None:
        for other in heard:
            signal.signal(other, signal.SIG_IGN)
        raise Ended(number)

    before = [signal.signal(number, end) for number in heard]
    try:
        yield
    finally:
        for number, handler in zip(heard, before, strict=True):
            signal.signal(number, handler)
