"""The time dimension of Media Fragments URI 1.0 (basic), W3C Recommendation of 25 September 2012, section 4.2.1.

https://www.w3.org/TR/2012/REC-media-frags-20120925/ . The fragment `t=12.5,48.04` means [12.5 s, 48.04 s)
of a medium. Times never pass through a floating-point number, neither in nor out.
"""

import re
from typing import NamedTuple
from urllib.parse import unquote

from annotator.model.timecode import SECOND, Ms

CONFORMS_TO = "http://www.w3.org/TR/media-frags/"
"""What a selector with such a fragment conforms to, as the Web Annotation Data Model names it."""

LONGEST = 1_000
"""Characters; a longer fragment is no time, and reading its digits would take long."""

_CLOCK = r"(?:(?:(?:(\d+):)?([0-5]\d):)?([0-5]\d)|(\d+))(?:\.(\d*))?"
_RANGE = re.compile(rf"(?:npt:)?(?:{_CLOCK})?(?:,{_CLOCK})?", re.ASCII)
_PARTS = 5  # groups of one clock

_WRITTEN = re.compile(r"t=(\d+)(?:\.(\d{1,3}))?,(\d+)(?:\.(\d{1,3}))?", re.ASCII)
"""The form that `dumps` gives to a range with an end; read at once, as a case may hold tens of thousands."""


class TimeRange(NamedTuple):
    """From `start` up to, not including, `end`, in ms of a medium; `end` None runs to the medium's end.

    A time between two milliseconds is the later one, as everywhere in this program (`annotator.model.timecode`).
    """

    start: Ms
    end: Ms | None


class _Exact(NamedTuple):
    """Seconds and their decimals without trailing zeros, so that tuples compare as the times do."""

    seconds: int
    decimals: str

    def ms(self) -> Ms:
        return self.seconds * SECOND + int(f"{self.decimals:0<3.3}") + (len(self.decimals) > 3)


_ZERO = _Exact(0, "")


def loads(fragment: str) -> TimeRange | None:
    """The time range that a fragment (without its `#`) selects, or None where it selects none.

    As the Recommendation asks, names and values are split before they are percent-decoded, unknown
    names are ignored, and of several valid `t` the last one counts.
    """
    if len(fragment) > LONGEST:
        return None
    written = _WRITTEN.fullmatch(fragment)
    if written:
        seconds, decimals, end_seconds, end_decimals = written.groups("")
        start, end = int(seconds + decimals.ljust(3, "0")), int(end_seconds + end_decimals.ljust(3, "0"))
        return TimeRange(start, end) if start < end else None
    found = None
    for part in fragment.split("&"):
        name, _, value = part.partition("=")
        if _decoded(name) == "t":
            found = _range(_decoded(value)) or found
    return found


def dumps(start: Ms, end: Ms | None) -> str:
    """The fragment of [start, end); without an end it runs to the medium's end."""
    return f"t={_seconds(start)}" if end is None else f"t={_seconds(start)},{_seconds(end)}"


def _decoded(text: str) -> str:
    try:
        return unquote(text, errors="strict") if "%" in text else text
    except UnicodeDecodeError:
        return ""


def _range(text: str) -> TimeRange | None:
    """An empty or reversed range selects nothing (section 4.2.1)."""
    found = _RANGE.fullmatch(text)
    if not found:
        return None
    parts = found.groups()
    start, end = _exact(*parts[:_PARTS]), _exact(*parts[_PARTS:])
    if end is None:
        return None if start is None else TimeRange(start.ms(), None)
    start = start or _ZERO
    return TimeRange(start.ms(), end.ms()) if start < end else None


def _exact(
    hours: str | None, minutes: str | None, clock_seconds: str | None, plain_seconds: str | None, decimals: str | None
) -> _Exact | None:
    seconds = clock_seconds or plain_seconds
    if seconds is None:
        return None
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds)
    return _Exact(whole, (decimals or "").rstrip("0"))


def _seconds(ms: Ms) -> str:
    whole, thousandths = divmod(ms, SECOND)
    return f"{whole}.{thousandths:03d}".rstrip("0").rstrip(".")
