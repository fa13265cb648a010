"""One measured figure and how to take one."""

import statistics
import time
from collections.abc import Callable
from typing import NamedTuple


class Measurement(NamedTuple):
    """`value` of `name` beside `baseline_value` of `baseline`, both in `unit`; `aim` is the ratio hoped for."""

    name: str
    value: float
    baseline: str
    baseline_value: float
    unit: str = "s"
    aim: float | None = None


def seconds(work: Callable[[], object]) -> float:
    """How long one run takes."""
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def in_turn(first: Callable[[], object], second: Callable[[], object], runs: int = 5) -> tuple[float, float]:
    """Medians of two pieces of work run in turn, A B A B, so that a machine that drifts drifts for both."""
    pairs = [(seconds(first), seconds(second)) for _ in range(runs)]
    return statistics.median(one for one, _ in pairs), statistics.median(other for _, other in pairs)


def percentile(values: list[float], share: float) -> float:
    """The smallest value that at least `share` of the values do not exceed."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, max(0, -int(-share * len(ordered) // 1) - 1))]
