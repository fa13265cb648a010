"""How long work tells how far it is, and how it is stopped."""

from typing import NamedTuple, Protocol, runtime_checkable


class Progress(Protocol):
    """Called now and then by long work, at most some ten times a second.

    `done` runs from 0 to `total` in whatever unit the work counts. To stop the work, raise
    `annotator.errors.Cancelled` from here: the work cleans up after itself and lets it pass.
    """

    def __call__(self, done: float, total: float, /) -> None: ...


def silent(_done: float, _total: float, /) -> None:
    """For work that nobody watches."""


@runtime_checkable
class Telling(Protocol):
    """Progress that also takes in words what is being made: “clip 3 of 14”."""

    def tell(self, words: str, /) -> None: ...


def tell(progress: Progress, words: str) -> None:
    """Say what is being made, where somebody wants to know it."""
    if isinstance(progress, Telling):
        progress.tell(words)


class Scaled(NamedTuple):
    """Progress of one part of the work, which takes it from `begin` to `end` of `total`, in whatever unit.

    What it tells is passed on.
    """

    whole: Progress
    begin: float
    end: float
    total: float = 1

    def __call__(self, done: float, total: float, /) -> None:
        self.whole(self.begin + (self.end - self.begin) * done / (total or 1), self.total)

    def tell(self, words: str, /) -> None:
        tell(self.whole, words)
