"""`annotator logbook`: cases as rows of a logbook, as a map file asks for them."""

from pathlib import Path

import click

from annotator.cli.verb import EXISTING, emit, progress, verb, warn
from annotator.errors import told


@verb("logbook", "annotator logbook --map ours.yaml cases > logbook.csv")
@click.argument("cases", type=EXISTING, nargs=-1, required=True, metavar="CASE|FOLDER...")
@click.option("--map", "map_file", type=EXISTING, required=True, metavar="FILE", help="Which columns (YAML).")
def command(cases: tuple[Path, ...], map_file: Path) -> None:
    """Print a logbook as CSV: a row for each case, with the own share of its critical steps.

    The map says which columns, which steps are critical, and which roles count as own. A share of time is no judgement
    of who operated: every row says that the supervisor decides.
    """
    from annotator.formats import logbook_yaml
    from annotator.library.members import members_in
    from annotator.measure.over_cases.logbook import rows
    from annotator.measure.over_cases.series import in_full, once
    from annotator.publish.report.logbook_csv import dumps
    from annotator.store.facts import find_facts
    from annotator.store.vocabularies import naming, read_text

    facts = find_facts()
    text = read_text(map_file)
    with naming(map_file):
        asked = logbook_yaml.loads(text, facts.by_code)
    with progress("reading cases") as report:
        found = members_in(cases, report)
    counted = once(found.members)
    warn(*told([f"left out: {in_full(one)}" for one in (*found.left_out, *counted.left_out)]))
    emit(dumps(rows(counted.members, asked, facts)), None, for_programs=True)
