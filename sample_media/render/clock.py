"""Frame times, exactly: of one file, and of several files of one recording on the clock of the case."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import ceil, floor

UNEVEN = (4, 4, 5, 3, 4, 8, 4, 4, 2, 3, 4, 3)
"""Lengths of a variable-rate file's frames, over and over, in quarters of the nominal one; they average four."""

_STARTS = tuple(accumulate(UNEVEN, initial=0))


@dataclass(frozen=True)
class Clock:
    """Presentation times of the frames of one file, in seconds from the file's zero.

    rate      frames a second, nominal where `variable`
    count     frames in the file
    variable  whether their lengths follow UNEVEN
    tick      the container's time stamp unit where it cannot hold the times exactly, such as 1/1000 s, else None
    lead      time of the first frame, where the sound begins earlier
    """

    rate: Fraction
    count: int
    variable: bool = False
    tick: Fraction | None = None
    lead: Fraction = Fraction(0)

    @property
    def unit(self) -> Fraction:
        """A quarter of a nominal frame: all frame times are whole multiples of it."""
        return 1 / (4 * self.rate)

    def units(self, number: int) -> int:
        """Time of frame `number` (that of the end for `count`) in units, before any rounding."""
        if not self.variable:
            return 4 * number
        rounds, left = divmod(number, len(UNEVEN))
        return rounds * _STARTS[-1] + _STARTS[left]

    def time(self, number: int) -> Fraction:
        """Time of frame `number` as the file holds it; of the end of the last frame for `count`."""
        exact = self.units(number) * self.unit + self.lead
        return exact if self.tick is None else floor(exact / self.tick + Fraction(1, 2)) * self.tick

    def ms(self, number: int) -> int:
        """The first whole millisecond at or after the time of frame `number`."""
        return ceil(self.time(number) * 1000)


@dataclass(frozen=True)
class Reel:
    """One or several files in order whose frames are numbered through."""

    clocks: Sequence[Clock]

    @property
    def count(self) -> int:
        return sum(clock.count for clock in self.clocks)

    @property
    def firsts(self) -> tuple[int, ...]:
        """Number of the first frame of each file, and at the end the number of frames."""
        return tuple(accumulate((clock.count for clock in self.clocks), initial=0))

    def exact(self, number: int) -> Fraction:
        """Seconds from the start at which frame `number` is shown, had the recording not been split or rounded."""
        return self.clocks[0].units(number) * self.clocks[0].unit

    def case_ms(self, number: int) -> int:
        """Time of frame `number` on the case's clock: the lengths of the files before, and the time in its own."""
        before = 0
        for clock, first in zip(self.clocks, self.firsts, strict=False):
            if number < first + clock.count or clock is self.clocks[-1]:
                return before + clock.ms(number - first)
            before += clock.ms(clock.count)
        raise ValueError(f"frame {number} is past the end")

    def nearest(self, seconds: float) -> int:
        """Number of the frame that begins nearest to a time in seconds; the end counts as one more frame."""
        numbers = range(self.count + 1)
        later = min(bisect_left(numbers, seconds, key=lambda n: float(self.exact(n))), self.count)
        earlier = max(later - 1, 0)
        return min((earlier, later), key=lambda n: abs(float(self.exact(n)) - seconds))
