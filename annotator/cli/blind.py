"""`annotator blind`: a case for a second person, who tags without knowing the first's tags."""

from pathlib import Path

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, say, verb


@verb("blind", "annotator blind surgeon.case.jsonld --out fellow.case.jsonld")
@click.argument("case", type=EXISTING)
@click.option("--out", type=EXISTING, metavar="COPY", help="Case file to write.")
@click.option("--done", is_flag=True, help="Say that all is tagged in CASE.")
def command(case: Path, out: Path | None, done: bool) -> None:
    """Make a case for a second person: the same recordings and vocabulary, none of the first's tags, title or notes.

    Each says with --done when all is tagged; annotator compare waits until both have.
    """
    if done == (out is not None):
        raise click.UsageError("name the copy to make with --out, or say with --done that all is tagged")
    if out is None:
        _say_done(case)
    else:
        _copy(case, out)


def _say_done(path: Path) -> None:
    from annotator.model.blind import say_done

    with opened(path, writable=True) as session:
        session.do(say_done)
    say(f"{path}: all is tagged")


def _copy(path: Path, out: Path) -> None:
    from annotator.model.blind import blind_copy
    from annotator.model.edits import new_id
    from annotator.store.recordings import carried
    from annotator.store.session import Session
    from annotator.store.ways_out import CASE, WayOut

    WayOut(out, CASE, path).check()
    with opened(path) as session:
        copy = carried(blind_copy(session.case, new_id()), session.path, out)
        dropped = len(session.case.vocabulary.concepts) - len(copy.vocabulary.concepts)
    Session.create(out, copy).close()
    say(f"wrote {out}: recordings and vocabulary, to be tagged blind")
    if dropped:
        say(f"left out: {dropped} term{'s' * (dropped != 1)} that {path} has added to its vocabulary")
