"""How the figures of a review are said, in a page and in a terminal; each said once."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from annotator.measure.over_cases.cusum import Signal
from annotator.measure.over_cases.events import EventCount, Logged
from annotator.measure.over_cases.movement import Movement
from annotator.measure.over_cases.review import Against, EventCusum, Review, Share, StepReview
from annotator.measure.over_cases.series import Member
from annotator.measure.over_cases.spread import FEWEST, Beside, Spread
from annotator.measure.over_cases.trend import NoTrend, Trend
from annotator.plain_text import capitalised, one_line
from annotator.publish.report.wording import length

MINUS = "−"

NOT_MEASURED = (
    "How hard a case was, and how the eye did: times say nothing of either.",
    "What nobody tagged. A step without a tag is left out of its row, not counted as 0; an event without a tag may "
    "have happened.",
    "Whether others tagged alike: two people’s tags of one case differ.",
)
"""What a reader might look for in vain."""

DEFINITIONS = (
    ("Net, elapsed", "Time tagged with the step, each millisecond once; from its first start to its last end."),
    ("Quartiles", "A quarter of the cases lie below the lower one, a quarter above the upper one (type 7)."),
    ("Shorter", f"How many of the other cases were shorter. No percentage under {FEWEST} cases."),
    (
        "Power law",
        "T(n) = T(1) nᵇ, fitted to the logarithms: each doubling of the case number multiplies the time by the "
        "factor given.",
    ),
    ("Smoothed line", "Lowess of the logarithms over two thirds of the cases, with a bootstrap band."),
    ("Interval", "95 %: of a hundred such intervals about 95 hold the true value. None of it says why."),
    (
        "Change in ten cases",
        "In percentage points: the median slope of Theil and Sen. None under eight numbered cases.",
    ),
    (
        "CUSUM",
        "A running sum: a case with the event adds, a case without takes away. Where it passes the upper limit, look "
        "at the cases named.",
    ),
)
"""Short forms of docs/measures.md."""


def case_number(member: Member) -> str:
    """What a case is called where nobody may be named."""
    return "case without a number" if member.number is None else f"case {member.number}"


def time(value: float | None) -> str:
    return "" if value is None else length(round(value))


def quartiles(values: Spread | None) -> str:
    """From five cases on; under that the values themselves are told."""
    if values is None or values.n < FEWEST:
        return ""
    return f"{time(values.lower_quartile)}–{time(values.upper_quartile)}"


def listed_or_range(beside: Beside) -> str:
    """Least to most, or, under five cases, each of them."""
    values = beside.spread
    if values is None:
        return ""
    if values.n < FEWEST:
        return ", ".join(map(time, beside.others))
    return f"{time(values.least)}–{time(values.most)}"


def shorter(beside: Beside) -> str:
    """How many of the other cases were shorter."""
    place = beside.standing
    if place is None:
        return ""
    share = "" if place.share is None else f" ({100 * place.share:.0f} %)"
    return f"{place.smaller} of {place.of}{share}"


def difference(against: Against) -> str:
    """By how much the case is longer or shorter than a reference."""
    if against.difference is None:
        return ""
    if not against.difference:
        return "the same"
    return f"{length(abs(against.difference))} {'longer' if against.difference > 0 else 'shorter'}"


def middle(against: Against) -> str:
    reference = against.reference
    return f"{'median' if reference.median is not None else 'mean'} {length(reference.middle)}"


def spread_of(against: Against) -> str:
    reference = against.reference
    if reference.lower_quartile is not None and reference.upper_quartile is not None:
        return f"{length(reference.lower_quartile)}–{length(reference.upper_quartile)}"
    return "" if reference.deviation is None else f"SD {length(reference.deviation)}"


def rate(found: Trend) -> str:
    """By what a doubling of the case number multiplies the time."""
    value, low, high = found.power.rate
    return f"× {value:.2f} ({low:.2f}–{high:.2f})"


def first(found: Trend) -> str:
    """The time of the first case by the power law."""
    at, low, high = (length(round(one)) for one in found.power.first)
    return f"{at} ({low}–{high})"


def without_trend(steps: Iterable[StepReview]) -> list[str]:
    """Why steps have no trend, those of one reason together."""
    by_reason: dict[str, list[str]] = {}
    for one in steps:
        if isinstance(one.trend, NoTrend):
            by_reason.setdefault(one.trend.reason, []).append(one_line(one.label))
    return [f"{capitalised(reason)}: {', '.join(labels)}." for reason, labels in by_reason.items()]


def share(value: float | None) -> str:
    return "" if value is None else f"{100 * value:.0f} %"


def median_share(one: Share) -> str:
    values = one.beside.spread
    if values is None:
        return ""
    if values.n < FEWEST:
        return ", ".join(map(share, one.beside.others))
    return f"{share(values.median)} ({share(values.lower_quartile)}–{share(values.upper_quartile)})"


def moves(found: Movement) -> str:
    """The change of a share in ten cases; nothing where that is not known."""
    if found.per_ten is None:
        return ""
    at, low, high = (f"{round(100 * one):+}".replace("-", MINUS).replace("+0", "0") for one in found.per_ten)
    return f"{at} ({low} to {high})"


def signal(watched: EventCusum, one: Signal) -> str:
    """Where to look; nothing about anybody."""
    last = case_number(watched.members[one.case])
    cases = ", ".join(str(watched.members[at].number) for at in one.cases)
    return f"The sum passes the upper limit at {last}. Look at these cases: {cases}."


def no_signal(watched: EventCusum) -> str:
    count = len(watched.cusum.path)
    return f"The sum passes no upper limit over {count} numbered case{'s' * (count != 1)}."


def rates(watched: EventCusum) -> str:
    of = watched.cusum.design
    return (
        f"acceptable rate {100 * of.acceptable:g} %, unacceptable rate {100 * of.unacceptable:g} %; each case takes "
        f"s = {of.step:.4f} away, one with the event adds {1 - of.step:.4f}; limits ±{of.upper:.4f}"
    )


def said(found: Mapping[str, str]) -> str:
    """What a note says of an event."""
    return "; ".join(f"{word}: {text}" for word, text in found.items())


def severities(event: EventCount, log: Iterable[Logged]) -> str:
    """How often notes say each severity of an event: “1: 3 times, 2: once”."""
    counts = Counter(one.said["severity"] for one in log if one.notation == event.notation and "severity" in one.said)
    return ", ".join(f"{one}: {'once' if count == 1 else f'{count} times'}" for one, count in sorted(counts.items()))


def among(found: Review) -> str:
    """How many cases stand behind the figures."""
    count = len(found.members)
    what = "case" if found.this is None else "earlier case" if found.this.number is not None else "other case"
    return f"{count} {what}{'s' * (count != 1)}"


def months(members: Sequence[Member]) -> str:
    """From the first month to the last that is known."""
    known = sorted(one.month for one in members if one.month)
    if not known:
        return ""
    return known[0] if known[0] == known[-1] else f"{known[0]} to {known[-1]}"


def disagreeing(steps: Iterable[StepReview]) -> list[str]:
    """Which steps are longer than one reference and shorter than another."""
    return [
        f"{one_line(one.label)}: longer than one reference and shorter than another. They are not put together; "
        "look at what begins and ends each."
        for one in steps
        if one.disagree
    ]


def left_out(found: Review) -> list[str]:
    """How many cases do not count for what reason, without their names."""
    counts = Counter(one.reason for one in found.left_out)
    return [f"Left out, {count} case{'s' * (count != 1)}: {reason}." for reason, count in counts.items()]
