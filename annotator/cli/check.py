"""`annotator check`: what may be wrong with the tags of a case."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, counted, emit, say, verb, warn
from annotator.plain_text import plain


@verb("check", "annotator check model-eye.case.jsonld")
@click.argument("case", type=EXISTING)
@click.pass_context
def command(ctx: click.Context, case: Path) -> None:
    """Ask about what may be wrong with the tags of a case: overlaps, gaps, unusual order, lengths and places, what is
    missing or excludes something else, and more. The last line says what was looked for, which depends on the rules
    of the case's vocabulary. A finding is a question, not a verdict.

    Exit status 0: nothing found, 1: findings, 2: the case could not be read.
    """
    from annotator.measure import tag_notes
    from annotator.measure.findings import findings, looked_for

    with opened(case) as session:
        found = findings(session.case)
        is_tagged = bool(session.case.tags)
        kinds = looked_for(session.case)
        altered = tuple(tag_notes.altered(session.case))
    for finding in found:
        emit(plain(finding.says), None)
    warn(*altered)
    say(counted(len(found), str(case)) if is_tagged else f"nothing is tagged yet in {case}")
    if is_tagged:
        say(f"looked for: {', '.join(kinds)}")
    ctx.exit(1 if found else 0)
