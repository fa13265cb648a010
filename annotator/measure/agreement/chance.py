"""Agreement beyond chance, each millisecond weighing the same: kappa of two people, alpha and Fleiss' kappa of more.

Sources: J. Cohen, "A coefficient of agreement for nominal scales", Educational and Psychological Measurement 20 (1960);
K. Krippendorff, "Computing Krippendorff's alpha-reliability" (2011); K. L. Gwet, "Handbook of inter-rater reliability"
(2014); J. L. Fleiss, "Measuring nominal scale agreement among many raters", Psychological Bulletin 76 (1971).

All of them are numbers without a unit, 1 at most. None where the figure is not defined, as where all say the same one
thing all the time: then nothing tells agreement from habit.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Final, NamedTuple, TypeAlias

from annotator.measure.agreement.spans import Piece
from annotator.model.timecode import Ms

Table: TypeAlias = Mapping[tuple[str | None, ...], Ms]
"""By what each person says, None for nothing, how long they say so, in ms: of two people their confusion table."""

Unit: TypeAlias = tuple[Ms, Mapping[str, int]]
"""A weight, and how many people say what."""

Share: TypeAlias = float | None

UNTAGGED: Final = ""
"""The name that no concept has, for what nobody has tagged."""


class Chance(NamedTuple):
    """How far two people say the same."""

    accuracy: Share = None
    kappa: Share = None
    ac1: Share = None


def table_of(pieces: Iterable[Piece]) -> Table:
    """Who says what while the others say what."""
    table: Counter[tuple[str | None, ...]] = Counter()
    for piece in pieces:
        table[piece.names] += piece.length
    return table


def without_untagged(table: Table) -> Table:
    """The same without the time that nobody has tagged."""
    return {names: ms for names, ms in table.items() if any(names)}


def units(table: Table) -> list[Unit]:
    """How long so many say what; to have tagged nothing is an answer too."""
    return [(ms, Counter(name or UNTAGGED for name in names)) for names, ms in table.items()]


def beyond_chance(table: Table) -> Chance:
    """All figures of two people."""
    return Chance(accuracy(table), kappa(table), ac1(units(table)))


def accuracy(table: Table) -> Share:
    """The share of the time in which all say the same, from 0 to 1."""
    whole = sum(table.values())
    return sum(ms for names, ms in table.items() if len(set(names)) == 1) / whole if whole else None


def kappa(table: Table) -> Share:
    """Cohen's kappa: (po - pe) / (1 - pe), with po the accuracy and pe what it would be by chance.

    Both are multiplied by the square of the whole time, so that all but the last division is in whole numbers.
    """
    rows: Counter[str | None] = Counter()
    columns: Counter[str | None] = Counter()
    for (one, other), ms in table.items():
        rows[one] += ms
        columns[other] += ms
    whole = rows.total()
    same = whole * sum(ms for (one, other), ms in table.items() if one == other)
    by_chance = sum(ms * columns[name] for name, ms in rows.items())
    return (same - by_chance) / (whole**2 - by_chance) if whole**2 != by_chance else None


def alpha(units: Sequence[Unit]) -> Share:
    """Krippendorff's alpha for names: 1 - Do / De, of what at least two people answer. A unit weighs like so many."""
    answered = [(weight, counts) for weight, counts in units if sum(counts.values()) > 1]
    totals = _totals(answered)
    whole = sum(totals.values())
    by_chance = whole**2 - sum(count**2 for count in totals.values())
    if not by_chance:
        return None
    seen = _weighted(answered, lambda counts, raters: (raters**2 - _squares(counts)) / (raters - 1))
    return 1 - (whole - 1) * seen / by_chance


def fleiss_kappa(units: Sequence[Unit]) -> Share:
    """Fleiss' kappa, of units that all people answer."""
    totals = _totals(units)
    whole = sum(totals.values())
    by_chance = sum((count / whole) ** 2 for count in totals.values()) if whole else 1
    if by_chance == 1:
        return None
    return (_agreed(units) - by_chance) / (1 - by_chance)


def ac1(units: Sequence[Unit]) -> Share:
    """Gwet's AC1, which stays near the accuracy where one answer takes most of the time."""
    times: dict[str, float] = {}
    for weight, counts in units:
        for name, count in counts.items():
            if count:
                times[name] = times.get(name, 0) + weight * count / sum(counts.values())
    if len(times) < 2 or not any(sum(counts.values()) > 1 for _weight, counts in units):
        return None
    whole = sum(times.values())
    shares = [time / whole for time in times.values()]
    by_chance = sum(share * (1 - share) for share in shares) / (len(shares) - 1)
    return (_agreed(units) - by_chance) / (1 - by_chance)


def _agreed(units: Sequence[Unit]) -> float:
    """The mean share of pairs of people who agree, of what at least two answer."""
    answered = [(weight, counts) for weight, counts in units if sum(counts.values()) > 1]
    pairs = _weighted(answered, lambda counts, raters: (_squares(counts) - raters) / (raters * (raters - 1)))
    return pairs / sum(weight for weight, _counts in answered)


def _totals(units: Iterable[Unit]) -> Counter[str]:
    totals: Counter[str] = Counter()
    for weight, counts in units:
        for name, count in counts.items():
            totals[name] += weight * count
    return totals


def _squares(counts: Mapping[str, int]) -> int:
    return sum(count**2 for count in counts.values())


def _weighted(units: Iterable[Unit], figure: Callable[[Mapping[str, int], int], float]) -> float:
    return sum(weight * figure(counts, sum(counts.values())) for weight, counts in units if any(counts.values()))
