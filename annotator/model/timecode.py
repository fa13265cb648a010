"""The one unit of time: whole milliseconds on the case's own clock.

A frame's time is the ceiling of its exact presentation time. Rounding up on both ends keeps
neighbours touching and makes a seek to the written time land on that very frame: a frame at
33.3333 s written as 33.333 would show the frame before it.
"""

import re
from fractions import Fraction
from math import ceil
from typing import TypeAlias

from annotator.errors import InvalidTime

Ms: TypeAlias = int
"""Milliseconds since the start of the case."""

SECOND: Ms = 1_000
MINUTE: Ms = 60 * SECOND
HOUR: Ms = 60 * MINUTE

LATEST: Ms = 1_000 * HOUR
"""No case is longer; a larger number is a slip of the pen, not a time."""

_CLOCK = re.compile(r"(?:(?:(\d{1,4}):)?(\d{1,2}):)?(\d{1,9})(?:[.,](\d{1,9}))?", re.ASCII)


def ceil_ms(seconds: Fraction) -> Ms:
    """The first whole millisecond at or after an exact time in seconds."""
    return ceil(seconds * SECOND)


def from_ticks(pts: int, time_base: Fraction, zero: Fraction = Fraction(0)) -> Ms:
    """Milliseconds of a presentation stamp of `pts` ticks of `time_base` seconds, counted from `zero` seconds."""
    return ceil_ms(pts * time_base - zero)


def parse(text: str) -> Ms:
    """Read `H:MM:SS.mmm`, `MM:SS.mmm` or plain seconds, to the nearest millisecond.

    Raises InvalidTime for anything else, for minutes or seconds over 59 behind a colon, and for
    times past 1,000 hours.
    """
    found = _CLOCK.fullmatch(text.strip())
    if not found:
        raise InvalidTime(text)
    hours, minutes, seconds, decimals = found.groups()
    if minutes is not None and (int(seconds) > 59 or len(seconds) != 2):
        raise InvalidTime(text, "seconds run from 00 to 59")
    if hours is not None and (int(minutes) > 59 or len(minutes) != 2):
        raise InvalidTime(text, "minutes run from 00 to 59")
    whole = int(seconds) + 60 * int(minutes or 0) + 3600 * int(hours or 0)
    value = round(int(f"{whole}{decimals or '':0<9}"), -6) // 1_000_000  # exact, from nanoseconds
    if value > LATEST:
        raise InvalidTime(text, "it is later than any case lasts")
    return value


def clock(ms: Ms) -> str:
    """Print as `HH:MM:SS.mmm`, the form of the window's clock and of WebVTT."""
    hours, rest = divmod(ms, HOUR)
    minutes, rest = divmod(rest, MINUTE)
    seconds, thousandths = divmod(rest, SECOND)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}.{thousandths:03d}"


def span(ms: Ms) -> str:
    """Print a length for reading, to the nearest second: `6:02` or `1:04:09`."""
    hours, rest = divmod((ms + SECOND // 2) // SECOND, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
