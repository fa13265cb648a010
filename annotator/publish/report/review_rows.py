"""The tables of a review as rows of text, for a page and for a terminal."""

from collections.abc import Iterator

import msgspec

from annotator.measure.over_cases.events import Logged
from annotator.measure.over_cases.review import Review, StepReview
from annotator.measure.over_cases.spread import Beside
from annotator.measure.over_cases.trend import Trend
from annotator.model.place import print_place
from annotator.publish.report.review_wording import (
    difference,
    disagreeing,
    first,
    listed_or_range,
    median_share,
    middle,
    moves,
    quartiles,
    rate,
    said,
    severities,
    share,
    shorter,
    spread_of,
    time,
    without_trend,
)
from annotator.publish.report.wording import length

Rows = list[tuple[str, ...]]

_THIS = "this case"
_REFERENCES = ("step", "group", "n", "time", "reference", "spread", _THIS, "begins", "ends", "source")
_SHARES = ("step", "of", _THIS, "median (quartiles)", "change in ten cases (95 % interval)")


class Table(msgspec.Struct, frozen=True):
    """Rows under heads; `says` are sentences that belong below. `kind` is its name for whoever adds to it."""

    kind: str
    name: str
    heads: tuple[str, ...]
    rows: Rows
    says: tuple[str, ...] = ()


def tables(found: Review, names_nobody: bool) -> Iterator[Table]:
    """Those that say anything. With `names_nobody` cases go by their numbers only, else also by the names of files."""
    of_others = ("n", "median", "quartiles", "least to most")
    time_heads = ("step", *of_others) if found.this is None else ("step", _THIS, *of_others, "shorter")
    every = (
        Table("net", "Net time", time_heads, [_times(one.label, one.net, found) for one in found.steps]),
        Table("elapsed", "Elapsed time, where it differs", time_heads, _elapsed(found)),
        Table(
            "references",
            "References, each by itself",
            *_without_this(found, _REFERENCES, [row for one in found.steps for row in _references(one)]),
            tuple(disagreeing(found.steps)),
        ),
        Table(
            "trends",
            "Trend of the net time over the case number",
            ("step", "n", "first case (95 % interval)", "when the number doubles (95 % interval)"),
            [_trend(one.label, one.trend) for one in found.steps if isinstance(one.trend, Trend)],
            tuple(without_trend(found.steps)),
        ),
        Table(
            "shares",
            "Shares of the net time of a step",
            *_without_this(found, _SHARES, [row for one in found.steps for row in _shares(one)]),
        ),
        Table(
            "events",
            "Events",
            ("event", "in cases", "occurrences", "severity, as notes say"),
            [
                (one.label, f"{one.cases} of {one.of}", str(one.occurrences), severities(one, found.events.log))
                for one in found.events.counts
            ],
        ),
        Table(
            "log",
            "Log of events",
            ("case", "event", "at", "length", "during", "performer", "place", "what the note says"),
            [_logged(one, names_nobody) for one in found.events.log],
        ),
    )
    return (one for one in every if one.rows or one.says)


def _without_this(found: Review, heads: tuple[str, ...], rows: Rows) -> tuple[tuple[str, ...], Rows]:
    """A table without the column of the case, where there is none."""
    if found.this is not None:
        return heads, rows
    at = heads.index(_THIS)
    return heads[:at] + heads[at + 1 :], [row[:at] + row[at + 1 :] for row in rows]


def _elapsed(found: Review) -> Rows:
    """Of a step in one piece, and of the operating time, elapsed and net time are the same."""
    return [_times(one.label, one.elapsed, found) for one in found.steps if one.elapsed != one.net]


def _times(label: str, one: Beside, found: Review) -> tuple[str, ...]:
    values = one.spread
    of_others = (
        str(values.n if values else 0),
        time(values.median if values else None),
        quartiles(values),
        listed_or_range(one),
    )
    return (label, *of_others) if found.this is None else (label, time(one.value), *of_others, shorter(one))


def _references(one: StepReview) -> Rows:
    return [
        (
            one.label,
            against.reference.group,
            str(against.reference.n),
            str(against.reference.measured),
            middle(against),
            spread_of(against),
            difference(against),
            against.reference.begins,
            against.reference.ends,
            against.reference.source,
        )
        for against in one.against
    ]


def _trend(label: str, found: Trend) -> tuple[str, ...]:
    return label, str(found.power.n), first(found), rate(found)


def _shares(one: StepReview) -> Rows:
    return [
        (one.label, part.label, share(part.beside.value), median_share(part), moves(part.movement))
        for part in one.shares
    ]


def _logged(one: Logged, names_nobody: bool) -> tuple[str, ...]:
    number = "" if one.number is None else f"case {one.number}"
    name = number if names_nobody else f"{one.name} ({number})" if number else one.name
    return (
        name,
        one.label,
        length(one.at),
        length(one.length) if one.length else "",
        ", ".join(one.during),
        one.performer,
        print_place(one.place),
        said(one.said),
    )
