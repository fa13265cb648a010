"""`annotator merge`: one case of two copies that were edited apart."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, emit, say, verb
from annotator.plain_text import plain


@verb("merge", "annotator merge mine.case.jsonld yours.case.jsonld --out both.case.jsonld")
@click.argument("one", type=EXISTING, metavar="A")
@click.argument("other", type=EXISTING, metavar="B")
@click.option("--out", required=True, type=EXISTING, metavar="C", help="Case file to write.")
@click.pass_context
def command(ctx: click.Context, one: Path, other: Path, out: Path) -> None:
    """Make one case of two copies of it that were edited apart. Neither copy is changed.

    A tag that both have changed gets the later version, and the other stays beside it as a proposed tag; each such
    conflict is listed. A tag that only one copy has stays.

    Exit status 0: merged, 1: merged with conflicts to look at, 2: not merged.
    """
    from annotator.model.merge import merge
    from annotator.store.session import Session
    from annotator.store.ways_out import CASE, WayOut
    from annotator.workflow.merge_cases import copy_for

    for path in (one, other):
        WayOut(out, CASE, path).check()
    with opened(one) as first, opened(other) as second:
        merged = merge(copy_for(first, out), copy_for(second, out))
    Session.create(out, merged.case).close()
    for difference in (*merged.taken, *merged.conflicts):
        emit(plain(difference.says), None)
    conflicts = len(merged.conflicts)
    found = f"{conflicts} conflict{'s' * (conflicts != 1)}" if conflicts else "no conflicts"
    tags = len(merged.case.tags)
    say(f"wrote {out}: {tags} tag{'s' * (tags != 1)}, {found}")
    ctx.exit(1 if conflicts else 0)
