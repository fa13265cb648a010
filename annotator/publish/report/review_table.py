"""A review as plain text for a terminal."""

from annotator.errors import told
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.review import EventCusum, Review
from annotator.measure.over_cases.series import in_full
from annotator.plain_text import one_line
from annotator.publish.report.review_rows import tables
from annotator.publish.report.review_wording import among, months, no_signal, rates, signal
from annotator.publish.report.table import aligned

MOST_LEFT_OUT = 20
"""Cases left out that are told one by one."""


def dumps(found: Review) -> str:
    """The tables, each under its name."""
    lines = [_head(found), CAUTION]
    for one in tables(found, names_nobody=False):
        lines += ["", one.name]
        lines += [aligned(("", *one.heads[1:]), one.rows).rstrip("\n")] if one.rows else []
        lines += one.says
    if found.watched is not None:
        lines += ["", f"CUSUM of {one_line(found.watched.label)}", *_watched(found.watched)]
    lines += ["", *found.notes] if found.notes else []
    if found.left_out:
        lines += ["", f"left out: {len(found.left_out)}"]
        lines += told([one_line(in_full(one)) for one in found.left_out], most=MOST_LEFT_OUT)
    return "\n".join(lines) + "\n"


def _head(found: Review) -> str:
    beside = ", ".join(filter(None, [among(found), months(found.members)]))
    if found.this is None:
        return beside
    number = "" if found.this.number is None else f" (case {found.this.number})"
    return f"{one_line(found.this.name)}{number} beside {beside}"


def _watched(watched: EventCusum) -> list[str]:
    lines = [rates(watched)]
    for one in watched.cusum.signals:
        names = ", ".join(one_line(watched.members[at].name) for at in one.cases)
        lines += [signal(watched, one), f"  {names}"]
    return lines if watched.cusum.signals else [*lines, no_signal(watched)]
