"""The window closes, and cleans up, when another program or the terminal tells it to end."""

import signal
import socket
from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QObject, QSocketNotifier

_SIGNALS: Final = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)
)
"""SIGHUP: the terminal is gone; Windows says SIGBREAK to that, and has no SIGHUP."""


class Termination(QObject):
    """Calls `end` with the exit status that a shell gives to a program ended by a signal, once one comes.

    Qt's loop does not let Python's handlers run; so Python is told to write each signal into a socket, and the loop
    watches that (Python's documentation of signal.set_wakeup_fd).
    """

    def __init__(self, end: Callable[[int], None], parent: QObject) -> None:
        super().__init__(parent)
        self._end = end
        self._heard, self._told = socket.socketpair()
        for one in (self._heard, self._told):
            one.setblocking(False)
        self._notifier = QSocketNotifier(self._heard.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._hear)
        for number in _SIGNALS:
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, lambda _number, _frame: None)
        signal.set_wakeup_fd(self._told.fileno(), warn_on_full_buffer=False)

    def _hear(self) -> None:
        self._notifier.setEnabled(False)
        self._end(128 + self._heard.recv(1)[0])
