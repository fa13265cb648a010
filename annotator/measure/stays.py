"""Uninterrupted stays, and the mean and median of their lengths in whole milliseconds. See docs/measures.md."""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from annotator.model.interval import Interval
from annotator.model.timecode import Ms

Stay: TypeAlias = tuple[Ms, Ms]
"""Start and end of one visit."""


def stays(ranges: Iterable[Stay]) -> list[Stay]:
    """The visits that ranges make, in order: what overlaps or touches is one; a lone moment is a visit of no length."""
    merged: list[Stay] = []
    for start, end in sorted(ranges):
        if merged and start <= merged[-1][1]:
            if end > merged[-1][1]:
                merged[-1] = (merged[-1][0], end)
        else:
            merged.append((start, end))
    return merged


def mean(lengths: Sequence[Ms]) -> Ms:
    """The arithmetic mean to the nearest ms, a half rounded up."""
    return (2 * sum(lengths) + len(lengths)) // (2 * len(lengths))


def median(lengths: Sequence[Ms]) -> Ms:
    """The middle length; of an even number the mean of the two in the middle, a half rounded up."""
    ordered = sorted(lengths)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half] + 1) // 2


def length(ranges: Iterable[Stay], within: Interval | None = None) -> Ms:
    """The time that disjoint ranges cover, all of it or within another."""
    if within is None:
        return sum(end - start for start, end in ranges)
    return sum(max(min(end, within.end) - max(start, within.start), 0) for start, end in ranges)
