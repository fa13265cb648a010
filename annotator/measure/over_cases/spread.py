"""How values are spread over cases, and where one of them stands. Definitions: docs/measures.md.

Quartiles are those of type 7 of Hyndman and Fan, Sample Quantiles in Statistical Packages, The American Statistician
50 (1996) 361-365.
"""

from collections.abc import Iterable

import msgspec

FEWEST = 5
"""Cases from which on a share of them, or an interval, is given; below, the values themselves say more."""


class Spread(msgspec.Struct, frozen=True):
    """The values of `n` cases, in the unit that these have."""

    n: int
    least: float
    lower_quartile: float
    median: float
    upper_quartile: float
    most: float


class Standing(msgspec.Struct, frozen=True):
    """How many of the `of` other values are smaller than one value, and how many are equal to it."""

    smaller: int
    equal: int
    of: int

    @property
    def share(self) -> float | None:
        """The smaller ones as a share of all, from 0 to 1; None under five."""
        return self.smaller / self.of if self.of >= FEWEST else None


class Beside(msgspec.Struct, frozen=True):
    """One value beside those of other cases; None where the case, or all the others, have none.

    others  the values of the other cases, in ascending order
    """

    value: float | None
    others: tuple[float, ...]
    spread: Spread | None
    standing: Standing | None


def spread(values: Iterable[float]) -> Spread | None:
    """The spread of values; None where there are none."""
    from statistics import quantiles  # brings much that the start of the program does not need

    ordered = sorted(values)
    if not ordered:
        return None
    # Of one value all quartiles are that value.
    lower, median, upper = quantiles(ordered * 2 if len(ordered) == 1 else ordered, n=4, method="inclusive")
    return Spread(len(ordered), ordered[0], lower, median, upper, ordered[-1])


def standing(value: float, others: Iterable[float]) -> Standing:
    """Where a value stands among those of other cases."""
    listed = list(others)
    return Standing(sum(one < value for one in listed), listed.count(value), len(listed))


def beside(value: float | None, others: Iterable[float]) -> Beside:
    """A value with the spread of the others and its place among them."""
    listed = tuple(sorted(others))
    return Beside(value, listed, spread(listed), None if value is None or not listed else standing(value, listed))
