"""`annotator durations`: how long each step took."""

from pathlib import Path
from shutil import get_terminal_size
from typing import TYPE_CHECKING

import click

from annotator.cli.opened import opened
from annotator.cli.roles import role_terms, terms_of
from annotator.cli.verb import EXISTING, emit, replacing, verb, warn
from annotator.errors import listed, told

if TYPE_CHECKING:
    from annotator.model.vocabulary import Vocabulary

FORMATS = ["table", "csv", "json", "xlsx", "html"]


@verb("durations", "annotator durations model-eye.case.jsonld --format xlsx --out durations.xlsx")
@click.argument("case", type=EXISTING)
@click.option("--facet", default="step", show_default=True, help="Category to sum up.")
@click.option("--of", multiple=True, metavar="STEP", help="Only this step; may be given several times.")
@click.option("--within", metavar="CATEGORY", help="What lay within each step: technique, instrument, performer ...")
@click.option("--by", type=click.Choice(["performer", "place"]), help="Also by performer; for csv, by place.")
@click.option(
    "--format", "form", type=click.Choice(FORMATS), help="Default: what the ending of --out says, else table."
)
@click.option("--out", type=EXISTING, metavar="FILE", help="File to write; without it, the summary is printed.")
@role_terms
@replacing("a file of this format that is not from this program")
def command(
    case: Path,
    facet: str,
    of: tuple[str, ...],
    within: str | None,
    by: str | None,
    form: str | None,
    out: Path | None,
    role_terms: Path | None,
    replace: bool,
) -> None:
    """Sum up how often each step occurs, its net and elapsed time, what interrupted it, and its shares.

    --within technique says how much of each step was under each technique; so do instrument, material, event and
    performer. With --format csv, the file then holds that table.

    No millisecond counts twice; docs/measures.md says what each figure means.
    """
    from annotator.publish.kinds import SUMMARIES
    from annotator.publish.report.summary import summary_text
    from annotator.store.published import remember
    from annotator.store.ways_out import WayOut

    chosen = form or _by_ending(out)
    if chosen == "xlsx" and out is None:
        raise click.UsageError("a workbook is not for a terminal; name a file with --out")
    if role_terms and (by != "performer" or chosen not in ("csv", "json")):
        raise click.UsageError("--role-terms goes with --by performer and the format csv or json")
    with opened(case) as session:
        width = get_terminal_size((100, 24)).columns
        terms = session.case.vocabulary
        text, notes = summary_text(
            session.case,
            chosen,
            facet,
            by_performer=by == "performer",
            by_place=by == "place",
            width=width,
            of=[terms.match(name, facet).notation for name in of],
            within=_category(within, terms),
            terms=terms_of(role_terms, session.case),
        )
        way = None if out is None else WayOut(out, SUMMARIES[chosen], session.path, replace)
    warn(*told(notes))
    emit(text, way, for_programs=chosen != "table")
    if out is not None:
        warn(*remember(session.case, session.path, [out]))


def _category(within: str | None, terms: "Vocabulary") -> str:
    """What is asked for within each step. Raises UnknownName with the nearest ones."""
    from annotator.errors import UnknownName
    from annotator.measure.within import PERFORMER

    known = [facet.name for facet in terms.facets]
    if within is None or within in (*known, PERFORMER):
        return within or ""
    raise UnknownName("category", within, [*known, PERFORMER])


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
