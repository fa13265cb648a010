"""Where on the retina a manoeuvre took place: clock hours by zones, as on a retina drawing.

Clock hours are counted as the examiner faces the eye, 12 up; the three zones run outward from the
posterior pole (common practice, no source).
"""

import re
from collections.abc import Iterable
from typing import NamedTuple, TypeAlias

from annotator.errors import InvalidEdit

ZONES = ("posterior", "mid-periphery", "far periphery")
HOURS = range(1, 13)


class Field(NamedTuple):
    """One field of the chart: a clock hour (1 to 12) of one zone."""

    hour: int
    zone: str


Place: TypeAlias = frozenset[Field]
"""The fields touched; empty where nobody said."""

_HOURS = r"\d{1,2}(?:\s*-\s*\d{1,2})?"
_PART = re.compile(rf"(?:({_HOURS}(?:\s*/\s*{_HOURS})*)\s*)?([a-z][a-z -]*)", re.ASCII)


def parse_place(text: str) -> Place:
    """Read `4-6 mid-periphery; 5 posterior`; a zone without hours means all twelve; hours may run over 12.

    Raises InvalidEdit with the form expected.
    """
    fields: set[Field] = set()
    for part in filter(None, (part.strip().lower() for part in text.split(";"))):
        found = _PART.fullmatch(part)
        zone = found[2].strip() if found else ""
        hours = _hours(found[1]) if found else None
        if zone not in ZONES or hours is None:
            raise InvalidEdit(
                f"“{part}” is not a place on the retina; write clock hours and a zone ({', '.join(ZONES)}), "
                "such as 4-6 mid-periphery; 5 posterior"
            )
        fields |= {Field(hour, zone) for hour in hours}
    return frozenset(fields)


def print_place(place: Place) -> str:
    """The text that parse_place reads back to the same place; zones outward, hours clockwise from 12."""
    parts = []
    for zone in ZONES:
        hours = [field.hour for field in place if field.zone == zone]
        if len(hours) == len(HOURS):
            parts.append(zone)
        elif hours:
            written = (f"{first}" if first == last else f"{first}-{last}" for first, last in runs(hours))
            parts.append(f"{'/'.join(written)} {zone}")
    return "; ".join(parts)


def runs(hours: Iterable[int]) -> list[tuple[int, int]]:
    """Clock hours as first and last of each run, one that passes 12 kept whole: 11, 12, 1 gives (11, 1).

    In order of the first hours. All twelve are one run from 1 to 12.
    """
    held = set(hours)
    if held == set(HOURS):
        return [(1, 12)]
    found = []
    for start in sorted(hour for hour in held if (hour - 2) % 12 + 1 not in held):
        end = start
        while end % 12 + 1 in held:
            end = end % 12 + 1
        found.append((start, end))
    return found


def _hours(text: str | None) -> list[int] | None:
    """The clock hours of `4-6/11-1`; all of them for no text; None where a number is no clock hour."""
    if text is None:
        return list(HOURS)
    found: list[int] = []
    for run in text.split("/"):
        first, _, last = (number.strip() for number in run.partition("-"))
        ends = int(first), int(last or first)
        if any(end not in HOURS for end in ends):
            return None
        hour = ends[0]
        found.append(hour)
        while hour != ends[1]:
            hour = hour % 12 + 1
            found.append(hour)
    return found
