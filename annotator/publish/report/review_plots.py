"""The plots of a review: each step beside other cases, trends over the case number, and the CUSUM of an event."""

from collections.abc import Iterator, Sequence
from math import log2

from annotator.measure.over_cases.cusum import At
from annotator.measure.over_cases.review import EventCusum, Review, Share, StepReview
from annotator.measure.over_cases.spread import FEWEST
from annotator.measure.over_cases.trend import Along, Trend
from annotator.measure.within import PERFORMER
from annotator.plain_text import one_line
from annotator.publish.report.plot import (
    Label,
    Plot,
    Scale,
    Shape,
    area,
    box,
    diamond,
    dot,
    line,
    time_ticks,
    triangle,
    whole_ticks,
)
from annotator.publish.report.review_wording import case_number
from annotator.publish.report.wording import length

_WIDTH, _ROW, _GUTTER, _AXIS = 1000, 30, 260, 34
"""Of the plot of all steps: its width, the height of a step, the room for names, and for the axis."""

_FACTORS = (0.25, 0.5, 1, 2, 4)
"""Of the median of the other cases; what lies beyond them stands at the edge."""

_TREND = (480, 260)
_LEFT, _RIGHT, _TOP, _BOTTOM = 56, 12, 12, 40
"""The size of a plot of one step, and the room around it."""

_LEGEND, _LONGEST = 18, 64
"""Room for the names of the marks, and how many letters they may have together."""

_SHARES = (0, 0.25, 0.5, 0.75, 1)

_MARKS = (("point", dot), ("mark", dot), ("point", triangle), ("mark", diamond), ("mark", triangle), ("point", diamond))
"""By which performers are told apart."""


def beside_plot(found: Review) -> Plot | None:
    """Every step that the cases have, each against their median; None where there is none."""
    cases = "cases" if found.this is None else "other cases"
    shown = [one for one in found.steps if one.net.spread is not None and one.net.spread.median > 0]
    if not shown:
        return None
    bottom = _ROW * len(shown)
    scale = Scale(log2(_FACTORS[0]), log2(_FACTORS[-1]), _GUTTER, _WIDTH - 24)
    shapes = [
        Shape("axis" if factor == 1 else "rule", line([(scale.at(log2(factor)), 0), (scale.at(log2(factor)), bottom)]))
        for factor in _FACTORS
    ]
    labels = [Label(scale.at(log2(factor)), bottom + 16, f"{factor:g} ×") for factor in _FACTORS]
    labels.append(Label(scale.at(0), bottom + 31, f"median of the {cases}"))
    for row, one in enumerate(shown):
        middle = _ROW * row + _ROW / 2
        labels.append(Label(_GUTTER - 12, middle + 4, _short(one.label), "end", "name"))
        shapes += _beside(one, scale, middle)
    return Plot(
        f"Each step {'over the' if found.this is None else 'beside'} {cases}",
        f"Net time of each step as a multiple of the median of the {cases}. The figures stand in the table.",
        _WIDTH,
        bottom + _AXIS,
        tuple(shapes),
        tuple(labels),
    )


def trend_plots(steps: Sequence[StepReview]) -> list[Plot]:
    """One for each step that has a trend."""
    return [_trend_plot(one, one.trend) for one in steps if isinstance(one.trend, Trend)]


def share_plots(steps: Sequence[StepReview]) -> list[Plot]:
    """One for each step that has a trend: who did how much of it, case by case."""
    found = (
        (one.label, [share for share in one.shares if share.facet == PERFORMER and share.movement.per_ten])
        for one in steps
    )
    return [_share_plot(label, shares) for label, shares in found if shares]


def cusum_plot(watched: EventCusum) -> Plot | None:
    """The sum over cases with its limits; None where no case has a number."""
    path = watched.cusum.path
    if not path:
        return None
    width, height = 2 * _TREND[0], _TREND[1]
    of = watched.cusum.design
    values = [0.0, of.upper, of.lower, *(at.total for at in path)]
    x = Scale(0, len(path), _LEFT, width - _RIGHT)
    y = Scale(min(values), max(values), height - _BOTTOM, _TOP)
    shapes = [
        Shape(look, line([(x.start, y.at(value)), (x.end, y.at(value))]))
        for look, value in (("axis", 0), ("limit", of.upper), ("limit", of.lower))
    ]
    shapes += [Shape("smooth", line(spots)) for spots in _runs(path, x, y)]
    shapes += [
        Shape("mark" if at.happened else "point", dot(x.at(at.case + 1), y.at(at.total)), _at_case(watched, at))
        for at in path
    ]
    labels = [
        Label(x.start - 6, y.at(value) + 4, f"{value:.2f}".replace("-", "−"), "end")
        for value in (0, of.upper, of.lower)
    ]
    numbers = [one.number for one in watched.members]
    labels += [Label(x.at(at + 1), height - 22, str(numbers[at])) for at in whole_ticks(0, len(numbers) - 1, 16)]
    labels.append(Label((x.start + x.end) / 2, height - 4, "case number"))
    says = "The running sum with its limits; a filled mark is a case with the event."
    return Plot(f"CUSUM of {one_line(watched.label)}", says, width, height, tuple(shapes), tuple(labels))


def _beside(one: StepReview, scale: Scale, middle: float) -> Iterator[Shape]:
    """From the least to the most, the quartiles from five cases on, every case, the references and the case itself."""
    values = one.net.spread
    if values is None:
        return

    def at(time: float) -> float:
        return scale.at(log2(max(time, 1) / values.median))

    if values.n >= FEWEST:
        yield Shape("whisker", line([(at(values.least), middle), (at(values.most), middle)]))
        yield Shape("box", box(at(values.lower_quartile), at(values.upper_quartile), middle, 8))
        yield Shape("median", line([(at(values.median), middle - 8), (at(values.median), middle + 8)]))
    for other in one.net.others:
        yield Shape("point", dot(at(other), middle, 2))
    for against in one.against:
        reference = against.reference
        says = f"{one_line(reference.group) or 'reference'}: {length(reference.middle)}, {reference.measured}"
        yield Shape("reference", triangle(at(reference.middle), middle + 10, 4), says)
    if one.net.value is not None:
        yield Shape("this", diamond(at(one.net.value), middle), f"This case: {length(round(one.net.value))}")


def _trend_plot(one: StepReview, found: Trend) -> Plot:
    width, height = _TREND
    highest = max(point.time for point in found.points)
    ticks = time_ticks(highest)
    x = Scale(found.points[0].number, found.points[-1].number, _LEFT, width - _RIGHT)
    y = Scale(0, ticks[-1], height - _BOTTOM, _TOP)

    def spots(line: Sequence[Along], field: str) -> list[tuple[float, float]]:
        return [(x.at(along.number), y.at(getattr(along, field))) for along in line]

    power, smooth = found.power.line, found.smooth
    shapes = [Shape("rule", line([(x.start, y.at(tick)), (x.end, y.at(tick))])) for tick in ticks]
    shapes += [
        Shape("band", area(spots(smooth, "high"), spots(smooth, "low"))),
        *(Shape("edge", line(spots(power, field))) for field in ("low", "high")),
        Shape("smooth", line(spots(smooth, "time"))),
        Shape("power", line(spots(power, "time"))),
    ]
    shapes += [
        Shape("point", dot(x.at(point.number), y.at(point.time)), f"case {point.number}: {length(point.time)}")
        for point in found.points
    ]
    labels = [Label(x.start - 6, y.at(tick) + 4, length(tick), "end") for tick in ticks]
    labels += [Label(x.at(tick), height - 22, str(tick)) for tick in whole_ticks(x.low, x.high)]
    labels.append(Label((x.start + x.end) / 2, height - 4, "case number"))
    says = f"Net time over the case number, {found.power.n} cases, with a power law and a smoothed line."
    return Plot(one_line(one.label), says, width, height, tuple(shapes), tuple(labels))


def _share_plot(label: str, shares: Sequence[Share]) -> Plot:
    width, height = _TREND
    numbers = [number for number, _ in shares[0].movement.points]
    x = Scale(numbers[0], numbers[-1], _LEFT, width - _RIGHT)
    y = Scale(0, 1, height - _BOTTOM - _LEGEND, _TOP)
    shapes = [Shape("rule", line([(x.start, y.at(share)), (x.end, y.at(share))])) for share in _SHARES]
    labels = [Label(x.start - 6, y.at(share) + 4, f"{100 * share:.0f} %", "end") for share in _SHARES]
    for at, one in enumerate(shares):
        look, draw = _MARKS[at % len(_MARKS)]
        shapes += [Shape(look, draw(x.at(number), y.at(share))) for number, share in one.movement.points]
        left = x.start + at * (x.end - x.start) / len(shares)
        shapes.append(Shape(look, draw(round(left, 2), height - 5)))
        labels.append(Label(left + 10, height - 1, _short(one.label, _LONGEST // len(shares)), "start", "name"))
    labels += [Label(x.at(tick), height - 22 - _LEGEND, str(tick)) for tick in whole_ticks(x.low, x.high)]
    labels.append(Label((x.start + x.end) / 2, height - 4 - _LEGEND, "case number"))
    says = "The share of the net time by performer, over the case number."
    return Plot(one_line(label), says, width, height, tuple(shapes), tuple(labels))


def _runs(path: Sequence[At], x: Scale, y: Scale) -> Iterator[list[tuple[float, float]]]:
    """The line of the sum, which begins anew at 0 where it has passed a limit."""
    run = [(x.at(0), y.at(0))]
    for at in path:
        run.append((x.at(at.case + 1), y.at(at.total)))
        if at.passed:
            yield run
            run = [(x.at(at.case + 1), y.at(0))]
    if len(run) > 1:
        yield run


def _at_case(watched: EventCusum, at: At) -> str:
    return f"{case_number(watched.members[at.case])}: {at.total:.2f}"


def _short(name: str, most: int = 36) -> str:
    plain = one_line(name)
    return plain if len(plain) <= most else f"{plain[: most - 1]}…"
