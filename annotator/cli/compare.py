"""`annotator compare`: how far two or more people's tags of one recording agree."""

from itertools import combinations
from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, emit, progress, verb, warn
from annotator.errors import told


@verb("compare", "annotator compare surgeon.case.jsonld fellow.case.jsonld --facet step")
@click.argument("cases", nargs=-1, required=True, type=EXISTING, metavar="A B...")
@click.option("--facet", default="step", show_default=True, help="Category to compare.")
@click.option("--offset", type=int, metavar="MS", help="B is of a trimmed copy, which begins at so many ms of A.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON, with every disagreement.")
def command(cases: tuple[Path, ...], facet: str, offset: int | None, as_json: bool) -> None:
    """Compare the tags of two people who have tagged one recording: kappa, accuracy, overlap of each step, occurrences
    and boundaries found again, what was confused with what, and where they disagree. A is the reference.

    Of three cases or more, Krippendorff's alpha as well. docs/measures.md says what each figure means.
    """
    from annotator.measure.agreement.among import among
    from annotator.measure.agreement.compare import compare
    from annotator.publish.report import agreement_json, agreement_table
    from annotator.workflow.compare_cases import Named, refuse_other_recordings, refuse_unfinished

    if len(cases) < 2 or (offset is not None and len(cases) > 2):
        raise click.UsageError("name two cases or more; --offset goes with two")
    found = []
    for path in cases:
        with opened(path) as session:
            found.append(Named(path, session.case))
    refuse_unfinished(found)
    if offset is None:
        with progress("looking for where the copy begins") as report:
            refuse_other_recordings(found, report)
    form = agreement_json if as_json else agreement_table
    names = [str(path) for path in cases]
    if len(cases) == 2:
        agreement = compare(found[0].case, found[1].case, facet, offset or 0)
        warn(*told(agreement.notes))
        text = form.dumps(agreement, names)
    else:
        pairs = {
            (str(one.path), str(other.path)): compare(one.case, other.case, facet)
            for one, other in combinations(found, 2)
        }
        text = form.dumps_among(among([one.case for one in found], facet), pairs, facet, names)
    emit(text, None, for_programs=as_json)
