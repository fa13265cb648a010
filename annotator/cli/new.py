"""`annotator new`: start a case from one or more recordings."""

from pathlib import Path

import click

from annotator.cli.said_facts import meant, names_nobody, said_facts
from annotator.cli.verb import EXISTING, progress, say, verb, warn
from annotator.model.case import UNTITLED


@verb("new", "annotator new part1.mp4 part2.mp4 --vocabulary vitreoretinal --out model-eye.case.jsonld")
@click.argument("videos", nargs=-1, required=True, type=EXISTING, metavar="VIDEO...")
@click.option("--vocabulary", default="vitreoretinal", show_default=True, metavar="NAME|FILE", help="What to tag with.")
@click.option(
    "--title",
    default=UNTITLED,
    show_default=True,
    help="Title of the case; it is published: no patient's name.",
)
@click.option("--eye", type=click.Choice(["right", "left"]), help="The eye; quadrants of places need it.")
@click.option("--kind", metavar="NAME", help="Kind of operation, one of the vocabulary's: what is shown first.")
@said_facts("--fact", "A fact of the case, such as gauge=25G; annotator vocab facts lists them. May be repeated.")
@names_nobody
@click.option(
    "--altered",
    multiple=True,
    type=click.Choice(["cut", "slowed down", "sped up"]),
    help="The recordings do not run as the operation did; durations then say so. May be given several times.",
)
@click.option("--out", required=True, type=EXISTING, metavar="CASE", help="Case file to write.")
def command(
    videos: tuple[Path, ...],
    vocabulary: str,
    title: str,
    eye: str | None,
    kind: str | None,
    fact: tuple[tuple[str, str], ...],
    names_nobody: bool,
    altered: tuple[str, ...],
    out: Path,
) -> None:
    """Start a case from the recordings of one operation, in the order given."""
    from annotator.model.case import Eye
    from annotator.model.edits import set_eye, set_fact, set_kind
    from annotator.model.recording import Altered
    from annotator.store.session import Session
    from annotator.store.vocabularies import find
    from annotator.store.ways_out import CASE, WayOut
    from annotator.workflow.new_case import marked, new_case
    from annotator.workflow.recording_files import in_natural_order

    WayOut(out, CASE).check()
    terms = find(vocabulary)
    known, facts = meant(fact, names_nobody=names_nobody)
    if kind is not None:
        terms.kind(kind)
    by_name = in_natural_order(videos)
    if list(videos) != by_name:
        warn(f"recordings are in the order given; by name they would be {', '.join(one.name for one in by_name)}")
    with progress("reading recordings") as report:
        case = marked(new_case(videos, terms, title or UNTITLED, out, report), map(Altered, altered))
    if eye is not None:
        case = set_eye(case, Eye(eye)).case
    if kind is not None:
        case = set_kind(case, kind).case
    for said in facts:
        case = set_fact(case, known, said).case
    Session.create(out, case).close()
    say(f"wrote {out}: {len(videos)} recording{'s' * (len(videos) > 1)}, vocabulary {terms.name} {terms.version}")
