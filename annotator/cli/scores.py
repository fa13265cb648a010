"""`annotator scores`: score a case by a sheet, lay raters side by side, and see how far they agree over cases."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from annotator.cli.verb import EXISTING, emit, progress, say, verb, warn
from annotator.errors import told

if TYPE_CHECKING:
    from annotator.model.sheet import Score, Sheet


@verb("scores", 'annotator scores 12.case.jsonld --rater self --score view=3 --score "order=not done"')
@click.argument("cases", type=EXISTING, nargs=-1, required=True, metavar="CASE|FOLDER...")
@click.option("--rater", metavar="RATER", help="Who scores: a role of the sheet, such as self; goes with --score.")
@click.option("--score", "said", multiple=True, metavar="ITEM=SCORE", help="A score, or “not done”. May be repeated.")
@click.option("--clear", multiple=True, metavar="ITEM", help="Take a score of the rater back. May be repeated.")
@click.option("--sheet", "sheet_file", type=EXISTING, metavar="FILE", help="A score sheet (YAML); else your own.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def command(
    cases: tuple[Path, ...],
    rater: str | None,
    said: tuple[str, ...],
    clear: tuple[str, ...],
    sheet_file: Path | None,
    as_json: bool,
) -> None:
    """Score a case by a sheet, or lay the scores of its raters side by side.

    Of several cases or a folder: how far the raters agree, and how the means move with the case number. An item that
    was not done is left out of the means. It ranks nobody and judges no one's competence.

    The scores of a case stand beside it, in a table with its name and the ending .scores.csv.
    """
    from annotator.store.scores import find_sheet

    sheet = find_sheet(sheet_file)
    changes = bool(said or clear)
    if bool(rater) != changes:
        raise click.UsageError("--rater goes with --score or --clear: --rater self --score view=3")
    if len(cases) > 1 or cases[0].is_dir():
        if changes:
            raise click.UsageError("scores are given to one case at a time; name one case")
        _print_cases(cases, sheet, as_json)
        return
    if rater:
        _change(cases[0], sheet, rater, said, clear)
    else:
        _print_case(cases[0], sheet, as_json)


def _change(case: Path, sheet: "Sheet", words: str, said: Sequence[str], clear: Sequence[str]) -> None:
    """All of it as one change, or nothing."""
    from annotator.model.sheet import with_scores, without_scores
    from annotator.store.reading import read_case
    from annotator.store.scores import change_scores, scores_path

    read_case(case)
    rater = sheet.rater(words).code
    given = [sheet.meant(rater, *_pair(one)) for one in said]
    items = [sheet.item(one).code for one in clear]

    def change(scores: "Sequence[Score]") -> "Sequence[Score]":
        return with_scores(without_scores(scores, rater, items), given)

    change_scores(case, sheet, change)
    say(f"wrote {scores_path(case)}")


def _pair(said: str) -> tuple[str, str]:
    item, sign, score = said.partition("=")
    if not sign:
        raise click.UsageError(f"“{said}” is not ITEM=SCORE, such as view=3")
    return item.strip(), score.strip()


def _print_case(path: Path, sheet: "Sheet", as_json: bool) -> None:
    from annotator.library.members import member_at
    from annotator.measure.over_cases.scores import Scored
    from annotator.publish.report import scores_json, scores_table
    from annotator.store.scores import read_scores

    this = member_at(path)
    found = Scored(this.name, read_scores(path, sheet), this.number)
    if not found.scores:
        warn(f"nobody has scored {path} yet; annotator scores {path} --rater self --score ITEM=SCORE does")
    emit(scores_json.of_case(found, sheet) if as_json else scores_table.of_case(found, sheet), None)


def _print_cases(paths: Sequence[Path], sheet: "Sheet", as_json: bool) -> None:
    from annotator.library.scoring import scores_in
    from annotator.measure.over_cases.scores import over_cases
    from annotator.measure.over_cases.series import in_full
    from annotator.publish.report import scores_json, scores_table

    with progress("reading cases") as report:
        found = scores_in(paths, sheet, report)
    warn(*told([f"left out: {in_full(one)}" for one in found.left_out]))
    if found.unscored:
        warn(f"{found.unscored} case{'s' * (found.unscored != 1)} without scores")
    over = over_cases(found.scored, sheet)
    emit(scores_json.of_cases(over, sheet) if as_json else scores_table.of_cases(over, sheet), None)
