"""`annotator durations`: how long each step took."""

from pathlib import Path
from shutil import get_terminal_size

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, emit, replacing, verb, warn
from annotator.errors import listed, told

FORMATS = ["table", "csv", "json", "xlsx", "html"]


@verb("durations", "annotator durations model-eye.case.jsonld --format xlsx --out durations.xlsx")
@click.argument("case", type=EXISTING)
@click.option("--facet", default="step", show_default=True, help="Category to sum up.")
@click.option("--by", type=click.Choice(["performer", "place"]), help="Also by performer; for csv, by place.")
@click.option(
    "--format", "form", type=click.Choice(FORMATS), help="Default: what the ending of --out says, else table."
)
@click.option("--out", type=EXISTING, metavar="FILE", help="File to write; without it, the summary is printed.")
@replacing("a file of this format that is not from this program")
def command(case: Path, facet: str, by: str | None, form: str | None, out: Path | None, replace: bool) -> None:
    """Sum up how often each step occurs, its total, longest, mean and median time, its share and first start.

    No millisecond counts twice; docs/measures.md says what each figure means.
    """
    from annotator.publish.kinds import SUMMARIES
    from annotator.publish.report.summary import summary_text
    from annotator.store.ways_out import WayOut

    chosen = form or _by_ending(out)
    if chosen == "xlsx" and out is None:
        raise click.UsageError("a workbook is not for a terminal; name a file with --out")
    with opened(case) as session:
        width = get_terminal_size((100, 24)).columns
        text, notes = summary_text(session.case, chosen, facet, by == "performer", by == "place", width)
        way = None if out is None else WayOut(out, SUMMARIES[chosen], session.path, replace)
    warn(*told(notes))
    emit(text, way, for_programs=chosen != "table")


def _by_ending(out: Path | None) -> str:
    """Raises UsageError for a name that tells none of the formats."""
    from annotator.publish.kinds import SUMMARIES

    if out is None:
        return "table"
    by_ending = {kind.endings[0]: form for form, kind in SUMMARIES.items()}
    form = by_ending.get(out.suffix.lower())
    if form is None:
        raise click.UsageError(f"{out}: name a file that ends in {listed(tuple(by_ending))}, or choose a --format")
    return form
