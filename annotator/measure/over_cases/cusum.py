"""CUSUM of an event: a running sum that says when to look at cases again.

Method: Kestin, A statistical approach to measuring the competence of anaesthetic trainees at practical procedures,
British Journal of Anaesthesia 75 (1995) 805-809, with the limits of Wald's sequential test. A case with the event adds
1 - s, a case without it takes s away. Where the sum passes a limit the test has an answer, and begins anew at 0 with
the next case, so that a long good run does not hide what comes after it.
"""

from collections.abc import Sequence
from math import log
from typing import NamedTuple

import msgspec

from annotator.errors import InvalidEdit

ERROR_RATE = 0.1
"""Of the test, in both directions, as published."""


class Design(msgspec.Struct, frozen=True):
    """What the sum is held against.

    acceptable, unacceptable  rates of cases with the event, from 0 to 1
    step                      s: what a case without the event takes away
    upper, lower              the limits
    """

    acceptable: float
    unacceptable: float
    step: float
    upper: float
    lower: float


class At(NamedTuple):
    """The sum after a case: by its place in the series, from 0; `passed` is 1 or -1 where it passed a limit."""

    case: int
    happened: bool
    total: float
    passed: int


class Signal(NamedTuple):
    """The sum passed the upper limit after a case; `cases` are those with the event that made it do so."""

    case: int
    cases: tuple[int, ...]


class Cusum(msgspec.Struct, frozen=True):
    """The path of the sum, and where to look."""

    design: Design
    path: tuple[At, ...]
    signals: tuple[Signal, ...]


def design(acceptable: float, unacceptable: float, alpha: float = ERROR_RATE, beta: float = ERROR_RATE) -> Design:
    """The steps and limits for two rates. Raises InvalidEdit where they are not rates, the first the lower one.

    `alpha` is how often the upper limit is passed at the acceptable rate, `beta` the lower at the unacceptable one.
    """
    if not 0 < acceptable < unacceptable < 1:
        raise InvalidEdit(
            f"{acceptable:g} and {unacceptable:g} are not an acceptable and an unacceptable rate; give two numbers "
            "between 0 and 1, the acceptable one first and lower, such as 0.10 and 0.20"
        )
    rise, fall = log(unacceptable / acceptable), log((1 - acceptable) / (1 - unacceptable))
    return Design(
        acceptable,
        unacceptable,
        step=fall / (rise + fall),
        upper=log((1 - beta) / alpha) / (rise + fall),
        lower=-log((1 - alpha) / beta) / (rise + fall),
    )


def cusum(happened: Sequence[bool], of: Design) -> Cusum:
    """The path over cases in their order; for each whether the event happened in it."""
    path: list[At] = []
    signals: list[Signal] = []
    total, since = 0.0, 0
    for number, is_so in enumerate(happened):
        total += 1 - of.step if is_so else -of.step
        passed = 1 if total >= of.upper else -1 if total <= of.lower else 0
        path.append(At(number, is_so, total, passed))
        if passed > 0:
            signals.append(Signal(number, tuple(one for one in range(since, number + 1) if happened[one])))
        if passed:
            total, since = 0.0, number + 1
    return Cusum(of, tuple(path), tuple(signals))
