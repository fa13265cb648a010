"""A review as one self-contained page, for a case or for a period. It names nobody: cases go by their numbers, and no
title, author or note is in it but what a note says of an event.
"""

from typing import Any

import msgspec
from msgspec.structs import replace

from annotator.measure.durations import summarise
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.review import EventCusum, Review
from annotator.measure.over_cases.series import Member
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary
from annotator.plain_text import capitalised
from annotator.publish.report.plot import Plot
from annotator.publish.report.review_plots import beside_plot, cusum_plot, share_plots, trend_plots
from annotator.publish.report.review_rows import Table, tables
from annotator.publish.report.review_wording import (
    DEFINITIONS,
    NOT_MEASURED,
    among,
    case_number,
    left_out,
    months,
    no_signal,
    rates,
    signal,
)
from annotator.publish.report.summary_html import REPORT, digest, template, values
from annotator.publish.report.wording import REMINDER

GENERATOR = "surgical-step-annotator review"
"""By which a page of this program is known again."""

_TRENDS = (
    "Circles are cases. The solid line is smoothed, with its band in grey; the dashed line is the power law, between "
    "dotted lines."
)

_SHARES = "Each mark is the share of one performer in one case."


class Part(msgspec.Struct, frozen=True):
    """A table, with plots below it and what they show."""

    table: Table
    plots: tuple[Plot, ...] = ()
    caption: str = ""


class Watched(msgspec.Struct, frozen=True):
    """The CUSUM of an event in words and as a plot."""

    name: str
    rates: str
    says: tuple[str, ...]
    plot: Plot | None


def dumps(found: Review, vocabulary: Vocabulary, language: str = DEFAULT_LANGUAGE) -> str:
    """The page, for a browser and for print."""
    style = "".join((REPORT / name).read_text(encoding="utf-8") for name in ("summary.css", "review.css"))
    return template("review.html").render(
        **_timeline(found.this, language),
        title=_title(found),
        beside=", ".join(filter(None, [among(found), months(found.members)])),
        vocabulary=f"{vocabulary.name} {vocabulary.version}",
        has_case=found.this is not None,
        has_references=any(one.against for one in found.steps),
        overview=beside_plot(found),
        parts=_parts(found),
        watched=found.watched and _watched(found.watched),
        notes=[*found.notes, *left_out(found)] or ["Every case that was given counts."],
        rules=[one for one in found.steps if any(one.rules)],
        not_measured=NOT_MEASURED,
        definitions=DEFINITIONS,
        caution=CAUTION,
        reminder=REMINDER,
        style=style,
        style_hash=digest(style),
        generator=GENERATOR,
    )


def _title(found: Review) -> str:
    if found.this is not None:
        return f"{capitalised(case_number(found.this))} beside others"
    return "Cases of a period"


def _timeline(this: Member | None, language: str) -> dict[str, Any]:
    """The case along its time and its own durations, under its number."""
    if this is None:
        return {"timelines": {}, "language": language}
    case = replace(this.case, title=case_number(this))
    return values(summarise(case, language=language), case, language)


def _parts(found: Review) -> list[Part]:
    plots = {"trends": (trend_plots(found.steps), _TRENDS), "shares": (share_plots(found.steps), _SHARES)}
    parts = []
    for one in tables(found, names_nobody=True):
        pictures, caption = plots.get(one.kind, ([], ""))
        parts.append(Part(one, tuple(pictures), caption))
    return parts


def _watched(watched: EventCusum) -> Watched:
    says = tuple(signal(watched, one) for one in watched.cusum.signals) or (no_signal(watched),)
    return Watched(f"CUSUM of {watched.label}", capitalised(rates(watched)), says, cusum_plot(watched))
