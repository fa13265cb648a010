"""`annotator review`: one case beside earlier ones and references, or the cases of a period."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from annotator.cli.verb import EXISTING, emit, progress, replacing, verb, warn
from annotator.plain_text import quoted

if TYPE_CHECKING:
    from annotator.measure.over_cases.review import Review
    from annotator.store.ways_out import WayOut

_MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])", re.ASCII)


@verb("review", "annotator review 12.case.jsonld --among cases --reference times.csv --out review.html")
@click.argument("case", type=EXISTING, required=False)
@click.option(
    "--among", type=EXISTING, multiple=True, metavar="FOLDER|CASE", help="Other cases; may be given several times."
)
@click.option(
    "--reference",
    type=EXISTING,
    multiple=True,
    metavar="TABLE|FOLDER",
    help="A CSV table of times, or a group of cases.",
)
@click.option("--within", multiple=True, metavar="CATEGORY", help="Also the shares of a step under each of these.")
@click.option("--event", metavar="EVENT", help="An event to watch by CUSUM; goes with --rates.")
@click.option("--rates", type=float, nargs=2, metavar="P0 P1", help="Its acceptable and unacceptable rate: 0.10 0.20.")
@click.option("--from", "first", metavar="MONTH", help="Only cases from this month on, such as 2026-03.")
@click.option("--to", "last", metavar="MONTH", help="Only cases up to this month.")
@click.option("--altered", is_flag=True, help="Count recordings too that were cut, slowed down or sped up.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--out", type=EXISTING, metavar="FILE.html", help="Write a page instead, for a browser and for print.")
@replacing("a page that is not from this program")
def command(
    case: Path | None,
    among: tuple[Path, ...],
    reference: tuple[Path, ...],
    within: tuple[str, ...],
    event: str | None,
    rates: tuple[float, float] | None,
    first: str | None,
    last: str | None,
    altered: bool,
    as_json: bool,
    out: Path | None,
    replace: bool,
) -> None:
    """Lay a case beside the earlier ones of --among and beside references, or, without CASE, review a period.

    Each step's net and elapsed time among the others, how it moves with the case number, who did it, and events. A
    case's number and month are facts of it. It ranks nobody and judges no one's competence.
    """
    from annotator.library.reviewing import Request, reviewed

    if case is None and not among:
        raise click.UsageError("name a case, or the cases of a period with --among")
    if (event is None) != (rates is None):
        raise click.UsageError("--event and --rates go together: --event bleeding --rates 0.10 0.20")
    if as_json and out:
        raise click.UsageError("--out writes a page, and --json prints; ask for one of them")
    request = Request(case, among, reference, within, event, rates, _month(first), _month(last), with_altered=altered)
    way = _way_out(out, case, replace)
    with progress("reading cases") as report:
        found = reviewed(request, report)
    _hint(found.review)
    if way is not None:
        from annotator.publish.report import review_html
        from annotator.workflow.before_export import consent_of

        warn(*(consent_of(found.review.this.case) if found.review.this else ()))
        emit(review_html.dumps(*found), way)
    elif as_json:
        from annotator.publish.report import review_json

        emit(review_json.dumps(found.review), None, for_programs=True)
    else:
        from annotator.publish.report import review_table

        emit(review_table.dumps(found.review), None)


def _way_out(out: Path | None, case: Path | None, replace: bool) -> "WayOut | None":
    """Checked before anything is read."""
    from annotator.publish.kinds import PAGE
    from annotator.store.ways_out import WayOut

    if out is None:
        return None
    way = WayOut(out, PAGE, case, replace)
    way.check()
    return way


def _hint(found: "Review") -> None:
    """Without numbers there is no order, and so no trend."""
    together = [*found.members, *([found.this] if found.this else [])]
    if any(one.number is None for one in together):
        warn("annotator facts CASE --set case-number=12 says which case it was; trends need that")


def _month(text: str | None) -> str:
    """Raises UsageError for what is no month."""
    if text and not _MONTH.fullmatch(text):
        raise click.UsageError(f"{quoted(text)} is not a month; write 2026-03")
    return text or ""
