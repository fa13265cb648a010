"""A step-duration summary as one self-contained page: a timeline, a table, and what the figures mean.

Nothing is loaded from anywhere, and the page forbids itself to (Content Security Policy).
"""

from base64 import b64encode
from hashlib import sha256
from itertools import chain, count
from pathlib import Path
from string import ascii_uppercase
from typing import Any

import msgspec
from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from annotator.measure.durations import Summary, summarise
from annotator.measure.rows import Row
from annotator.measure.within import PERFORMER
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, label_in
from annotator.plain_text import capitalised, one_line
from annotator.publish.report.phase_colours import PLAIN, case_colours
from annotator.publish.report.retina_svg import SIZE, retina_picture
from annotator.publish.report.timeline import timeline
from annotator.publish.report.timeline_lane import NARROW, WIDE
from annotator.publish.report.wording import (
    DEFINITIONS,
    REMINDER,
    bounds,
    counted,
    film_only,
    inside,
    interrupted,
    length,
    operating,
    percent,
    time,
)

GENERATOR = "surgical-step-annotator durations"
"""By which a page of this program is known again."""

_PAGES = {"wide": WIDE, "narrow": NARROW}
"""The two forms of the timeline by the class under which the style sheet shows one of them."""

REPORT = Path(__file__).parent / "templates"


class Line(msgspec.Struct, frozen=True):
    """A row of the table with the key that it has in the timeline."""

    key: str
    row: Row


class Group(msgspec.Struct, frozen=True):
    """Rows under what is broader, such as the steps of a phase; `head` None: they stand alone."""

    head: Line | None
    lines: tuple[Line, ...]


def dumps(summary: Summary, case: Case, language: str = DEFAULT_LANGUAGE) -> str:
    """The page, for a browser, for print and for a dark screen."""
    style = (REPORT / "summary.css").read_text(encoding="utf-8")
    return template("summary.html").render(
        **values(summary, case, language),
        visits=sum(row.visits for row in summary.rows),
        interruptions=[row for row in summary.rows if row.interruptions],
        within_facet=_within_facet(summary, case, language),
        style=style,
        style_hash=digest(style),
        definitions=DEFINITIONS,
        reminder=REMINDER,
        generator=GENERATOR,
    )


def values(summary: Summary, case: Case, language: str) -> dict[str, Any]:
    """What the parts of a page are filled with that show timeline, durations and time by place."""
    groups = _groups(summary, case, language)
    lines = [line for group in groups for line in (group.head, *group.lines) if line is not None]
    keys = {line.row.notation: line.key for line in lines}
    return {
        "summary": summary,
        "case": case,
        "groups": groups,
        "fills": _fills(case),
        "bounded": [row for row in summary.rows if bounds(row)],
        "labels": {row.notation: row.label for row in summary.rows},
        "facet": label_in(case.vocabulary.facet(summary.facet).label, language) or summary.facet,
        "retina": retina_picture(case),
        "retina_size": SIZE,
        "timelines": {name: timeline(case, keys, language, page) for name, page in _PAGES.items()},
        "language": language,
    }


def _within_facet(summary: Summary, case: Case, language: str) -> str:
    """What the summary was asked for within each step, in words."""
    if summary.within is None or summary.within.facet == PERFORMER:
        return PERFORMER
    return label_in(case.vocabulary.facet(summary.within.facet).label, language) or summary.within.facet


def digest(text: str) -> str:
    """How a page's policy names the one style or script that it allows."""
    return b64encode(sha256(text.encode()).digest()).decode()


def template(name: str) -> Template:
    """A page's template. Everything is escaped; a name that is missing is an error, not a blank."""
    environment = Environment(
        loader=FileSystemLoader(REPORT),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "bounds": bounds,
        "length": length,
        "one_line": one_line,
        "share_of": _share,
        "capitalised": capitalised,
        "counted": counted,
        "film_only": film_only,
        "inside": inside,
        "interrupted": interrupted,
        "operating": operating,
        "percent": percent,
        "time": time,
    }
    return environment.get_template(name)


def _groups(summary: Summary, case: Case, language: str) -> list[Group]:
    """The rows in their order, those under one broader concept together, keyed A, B ... and 1, 2 ...

    A step that may fall in any phase has counted for the one it lies in, and may stand alone.
    """
    broader = {row.notation: _broader(case, row) for row in summary.rows}
    rolled_up = {
        row.notation: row
        for facet in {concept.facet for concept in broader.values() if concept}
        for row in summarise(case, facet, language=language).rows
    }
    numbers, letters = count(1), iter(ascii_uppercase)
    gathered: dict[str, list[Line]] = {}
    for row in summary.rows:
        head = broader[row.notation]
        name = head.notation if head and head.notation in rolled_up else ""
        gathered.setdefault(name, []).append(Line(str(next(numbers)), row))
    return [
        Group(Line(next(letters, ""), rolled_up[head]) if head else None, tuple(lines))
        for head, lines in gathered.items()
    ]


def _broader(case: Case, row: Row) -> Concept | None:
    """The nearest broader concept that is of another facet."""
    concept = case.vocabulary.by_notation[row.notation]
    return next((one for one in case.vocabulary.ancestors(concept) if one.facet != concept.facet), None)


def _fills(case: Case) -> dict[str, str]:
    """By notation; what counts for the phase in which it lies has the colour of that, if it lies in one only."""
    colours = case_colours(case)
    fills = {one.notation: colours.by_concept.get(one.iri, PLAIN).fill for one in case.vocabulary.concepts}
    lying: dict[str, set[str]] = {}
    for tag_id, line in chain.from_iterable(part.items() for part in colours.settled):
        concept = case.concept_of(case.by_id[tag_id])
        if concept is not None:
            lying.setdefault(concept.notation, set()).add(colours.by_concept[line[0].iri].fill)
    return fills | {notation: next(iter(found)) if len(found) == 1 else PLAIN.fill for notation, found in lying.items()}


def _share(part: Ms, whole: Ms) -> str:
    return f"{100 * part / whole if whole else 0:.1f} %"
