"""How fast durations are summed, beside the way that the tests check them with."""

import random
from collections.abc import Iterator, Sequence

import numpy as np

from annotator.measure.durations import summarise
from annotator.measure.findings import findings
from annotator.model.case import Case
from tests.benchmarks.measurement import Measurement, seconds
from tests.benchmarks.store import large_case
from tests.measure.cases import case, tag

CASES, TAGS = 1_000, 200
HOUR = 3_600_000


def measurements() -> Iterator[Measurement]:
    cases = random_cases()
    yield Measurement(
        f"durations of {CASES:,} cases of {TAGS} tags",
        min(seconds(lambda: [summarise(one) for one in cases]) for _ in range(3)),
        "counted on a grid of milliseconds",
        seconds(lambda: counted_on_a_grid(cases)),
    )
    yield from of_one_large_case(large_case())


def of_one_large_case(large: Case) -> Iterator[Measurement]:
    name, baseline = f"{len(large.tags):,} tags", "printing and sorting as many ranges five times"
    ranges = [(tag.concept, tag.start, tag.end) for tag in large.tags]
    sorting = seconds(lambda: [sorted(ranges, key=repr) for _ in range(5)])
    yield Measurement(f"check of {name} (to be at most 1 s)", seconds(lambda: findings(large)), baseline, sorting)
    yield Measurement(f"durations of {name} (to be at most 1 s)", seconds(lambda: summarise(large)), baseline, sorting)


def random_cases() -> list[Case]:
    """Cases of an hour, with steps of up to a minute that overlap as they like; the same in every run."""
    chance = random.Random(20261124)
    names = ("ports", "infusion", "core", "shave", "removal")
    made = []
    for _ in range(CASES):
        starts = [chance.randrange(HOUR - 60_000) for _ in range(TAGS)]
        tags = [tag(chance.choice(names), at, at + chance.randrange(500, 60_000), n) for n, at in enumerate(starts)]
        made.append(case(*tags, duration=HOUR))
    return made


def counted_on_a_grid(cases: Sequence[Case]) -> list[dict[str, int]]:
    """Total by concept alone: one cell for each millisecond."""
    found = []
    for one in cases:
        grids: dict[str, np.ndarray[tuple[int], np.dtype[np.bool_]]] = {}
        for each in one.tags:
            grids.setdefault(each.concept, np.zeros(HOUR, bool))[each.start : each.end] = True
        found.append({concept: int(grid.sum()) for concept, grid in grids.items()})
    return found
