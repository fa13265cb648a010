"""How long work tells how far it is, and how it is stopped."""

from typing import Protocol


class Progress(Protocol):
    """Called now and then by long work, at most some ten times a second.

    `done` runs from 0 to `total` in whatever unit the work counts. To stop the work, raise
    `annotator.errors.Cancelled` from here: the work cleans up after itself and lets it pass.
    """

    def __call__(self, done: float, total: float, /) -> None: ...


def silent(_done: float, _total: float, /) -> None:
    """For work that nobody watches."""


def part_of(progress: Progress, done: int, parts: int) -> Progress:
    """Progress of one part of several that take about the same time; `done` of them are done."""
    return lambda reached, total: progress(done + reached / max(total, 1), parts)


def share_of(progress: Progress, begin: float, end: float) -> Progress:
    """Progress of a piece of the work, as its share of the whole: from `begin` to `end`, of 1."""
    return lambda done, total: progress(begin + (end - begin) * done / (total or 1), 1)
