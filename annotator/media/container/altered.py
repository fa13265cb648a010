"""What a container itself says of a recording that does not run as it was taken.

Read are an edit list that shows several pieces or runs at another rate (ISO/IEC 14496-12, 8.6.6), and the rate at
which a camera took the pictures, where it wrote that beside the rate at which they are shown. Most programs that cut
a film write neither, so a recording of which nothing is said here may be altered all the same.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Final

from annotator.media.container.sample_table import edits_of
from annotator.model.recording import Altered

_TAKEN_AT: Final = "com.android.capture.fps"
"""Key of the rate at which pictures were taken, frames a second, in the metadata of an MP4; from memory."""

_ABOUT: Final = 1.1
"""Rates that differ by less are the same, rounded."""

_ABOUT_ON_AVERAGE: Final = 2.0
"""The same where the rate varies: a telephone takes fewer pictures in the dark. Common practice, no source."""


def alterations(
    path: Path, track: int, metadata: Mapping[str, str], shown_at: Fraction | None, average: Fraction
) -> tuple[Altered, ...]:
    """In which ways a recording is altered, as far as its container tells, in alphabetical order.

    `shown_at` is its rate in frames a second, None where that varies; `average` is there either way.
    """
    by_rate = (
        _by_rate(metadata, average, _ABOUT_ON_AVERAGE) if shown_at is None else _by_rate(metadata, shown_at, _ABOUT)
    )
    return tuple(sorted({*_by_edits(path, track), *by_rate}))


def _by_edits(path: Path, track: int) -> Iterator[Altered]:
    shown = [edit for edit in edits_of(path, track) if edit.rate > 0]
    if len(shown) > 1:
        yield Altered.CUT
    if any(edit.rate > 1 for edit in shown):
        yield Altered.SPED_UP
    if any(edit.rate < 1 for edit in shown):
        yield Altered.SLOWED


def _by_rate(metadata: Mapping[str, str], shown_at: Fraction, about: float) -> Iterator[Altered]:
    try:
        taken_at = float(metadata.get(_TAKEN_AT, "0"))
    except ValueError:
        return
    if not taken_at > 0:
        return
    if taken_at > about * shown_at:
        yield Altered.SLOWED
    elif taken_at * about < shown_at:
        yield Altered.SPED_UP
