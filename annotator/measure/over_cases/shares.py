"""In how many cases out of how many. Definitions and sources: docs/measures.md."""

from typing import Final

import msgspec

from annotator.measure.over_cases.spread import FEWEST

CONFIDENCE: Final = 0.95


class Share(msgspec.Struct, frozen=True):
    """`cases` out of `of`.

    share     from 0 to 1; None out of no case
    interval  its 95 % interval, both ends from 0 to 1; None under five cases
    """

    cases: int
    of: int
    share: float | None
    interval: tuple[float, float] | None


def share_of(cases: int, of: int) -> Share:
    """The share with its interval after Wilson (Journal of the American Statistical Association 22, 1927)."""
    if of < FEWEST:
        return Share(cases, of, cases / of if of else None, None)
    from scipy.stats import binomtest  # it takes a second to load

    found = binomtest(cases, of).proportion_ci(CONFIDENCE, method="wilson")
    return Share(cases, of, cases / of, (float(found.low), float(found.high)))
