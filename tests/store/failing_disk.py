"""A disk that fails at a chosen moment, as a full, unplugged or write-protected one does."""

import os
import sys
from collections.abc import Callable
from contextlib import ExitStack
from types import TracebackType
from typing import Any, Self
from unittest.mock import patch


class FailingDisk:
    """While entered, the `fails`-th call that changes the disk fails with `code`; `lasting`: all later ones too.

    Counted are os.open for writing, os.write, os.fsync, os.replace, and os.ftruncate of what was opened meanwhile.
    A write that fails has put half of its bytes on disk, as the last one on a full disk does.
    """

    def __init__(self, fails: int, code: int, lasting: bool = False) -> None:
        self._fails = fails
        self._code = code
        self._lasting = lasting
        self.calls = 0
        self.has_failed = False

    def _is_due(self) -> bool:
        self.calls += 1
        due = self.calls >= self._fails if self._lasting else self.calls == self._fails
        self.has_failed |= due
        return due

    def _error(self) -> OSError:
        return OSError(self._code, os.strerror(self._code))

    def _failing(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            if self._is_due():
                raise self._error()
            return real(*arguments, **named)

        return call

    def __enter__(self) -> Self:
        disk, real_open, real_write, real_truncate = self, os.open, os.write, os.ftruncate
        opened = set[int]()

        def open_(path: Any, flags: int, *rest: Any, **named: Any) -> int:
            if flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT) and disk._is_due():
                raise disk._error()
            descriptor = real_open(path, flags, *rest, **named)
            opened.add(descriptor)
            return descriptor

        def ftruncate(descriptor: int, length: int) -> None:
            if descriptor in opened and disk._is_due():
                raise disk._error()
            real_truncate(descriptor, length)

        def write(descriptor: int, data: Any) -> int:
            if disk._is_due():
                real_write(descriptor, bytes(data)[: len(data) // 2])
                raise disk._error()
            return real_write(descriptor, data)

        with ExitStack() as patches:
            patches.enter_context(patch("os.open", open_))
            patches.enter_context(patch("os.write", write))
            patches.enter_context(patch("os.fsync", self._failing(os.fsync)))
            patches.enter_context(patch("os.replace", self._failing(os.replace)))
            patches.enter_context(patch("os.ftruncate", ftruncate))
            if sys.platform == "darwin":
                import fcntl

                patches.enter_context(patch("fcntl.fcntl", self._failing(fcntl.fcntl)))
            self._patches = patches.pop_all()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._patches.close()
