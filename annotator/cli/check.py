"""`annotator check`: what may be wrong with the tags of a case."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, counted, emit, say, verb
from annotator.plain_text import plain


@verb("check", "annotator check model-eye.case.jsonld")
@click.argument("case", type=EXISTING)
@click.pass_context
def command(ctx: click.Context, case: Path) -> None:
    """Look for overlaps, gaps, unusual order, tags outside the recording, unknown or unconfirmed tags,
    suspiciously short or long ones. A finding is a question, not a verdict.

    Exit status 0: nothing found, 1: findings, 2: the case could not be read.
    """
    from annotator.measure.findings import findings

    with opened(case) as session:
        found = findings(session.case)
        is_tagged = bool(session.case.tags)
    for finding in found:
        emit(plain(finding.says), None)
    say(counted(len(found), str(case)) if is_tagged else f"nothing is tagged yet in {case}")
    ctx.exit(1 if found else 0)
