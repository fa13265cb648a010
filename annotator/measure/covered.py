"""How much time ranges of different names share, where there are too many to compare them in pairs."""

from collections.abc import Iterator, Mapping, Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from annotator.measure.stays import Stay
from annotator.model.timecode import Ms


class _Open(NamedTuple):
    """A stay that has begun; by its end, then by its number, so that no two are equal."""

    end: Ms
    number: int
    side: int
    name: str


def shared_times(these: Mapping[str, Sequence[Stay]], those: Mapping[str, Sequence[Stay]]) -> dict[tuple[str, str], Ms]:
    """The time that each of `these` shares with each of `those`, in ms; pairs that share none are left out.

    The stays of one name are disjoint, as `stays` makes them.
    """
    shared: dict[tuple[str, str], Ms] = {}
    running: list[_Open] = []
    for number, (start, end, side, name) in enumerate(sorted([*_on(0, these), *_on(1, those)])):
        while running and running[0].end <= start:
            heappop(running)
        for other in running:
            if other.side != side:
                pair = (name, other.name) if side == 0 else (other.name, name)
                shared[pair] = shared.get(pair, 0) + min(end, other.end) - start
        heappush(running, _Open(end, number, side, name))
    return shared


def _on(side: int, named: Mapping[str, Sequence[Stay]]) -> Iterator[tuple[Ms, Ms, int, str]]:
    """The stays of one side; a moment shares no time."""
    return ((start, end, side, name) for name, ranges in named.items() for start, end in ranges if end > start)
