"""`python -m tests.benchmarks [NAME ...]`: run all benchmarks, or those of the rooms named, and print a table."""

import sys
from collections.abc import Callable, Iterable

from tests.benchmarks import cli, editing, library, measure, media, seeking, store, tables, timeline, window
from tests.benchmarks.measurement import Measurement

ROOMS: dict[str, Callable[[], Iterable[Measurement]]] = {
    "cli": cli.measurements,
    "measure": measure.measurements,
    "store": store.measurements,
    "library": library.measurements,
    "media": media.measurements,
    "editing": editing.measurements,
    "tables": tables.measurements,
    "timeline": timeline.measurements,
    "seeking": seeking.measurements,
    "window": window.measurements,
}


def main(names: list[str]) -> None:
    unknown = set(names) - ROOMS.keys()
    if unknown:
        sys.exit(f"there is no benchmark {', '.join(sorted(unknown))}; there are {', '.join(ROOMS)}")
    for name in names or ROOMS:
        for one in ROOMS[name]():
            print(line(one), flush=True)


def line(one: Measurement) -> str:
    """One figure, its baseline, and the ratio of the two beside the ratio aimed at."""
    ratio = one.value / one.baseline_value if one.baseline_value else float("inf")
    aim = f"  (aim: {one.aim:g})" if one.aim is not None else ""
    value, base = amount(one.value, one.unit), amount(one.baseline_value, one.unit)
    return f"{one.name}: {value}; {one.baseline}: {base}; ratio {ratio:.2f}{aim}"


def amount(value: float, unit: str) -> str:
    return f"{value * 1000:.1f} ms" if unit == "s" and value < 1 else f"{value:.2f} {unit}"


if __name__ == "__main__":
    main(sys.argv[1:])
