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
    """Progress of a piece of the work: it runs from `begin` to `end`, of `total`. What it tells is passed on."""

    whole: Progress
    begin: float
    end: float
    total: float

    def __call__(self, done: float, total: float, /) -> None:
        self.whole(self.begin + (self.end - self.begin) * done / (total or 1), self.total)

    def tell(self, words: str, /) -> None:
        tell(self.whole, words)


def part_of(progress: Progress, done: int, parts: int) -> Progress:
    """Progress of one part of several that take about the same time; `done` of them are done."""
    return Scaled(progress, done, done + 1, parts)


def share_of(progress: Progress, begin: float, end: float) -> Progress:
    """Progress of a piece of the work, as its share of the whole: from `begin` to `end`, of 1."""
    return Scaled(progress, begin, end, 1)
