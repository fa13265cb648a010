"""`annotator set`: say which eye a case is about, and which kind of operation."""

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, say, verb

if TYPE_CHECKING:
    from annotator.model.case import Case, Eye
    from annotator.model.edits import Edited

NOT_SAID: Final = "none"
"""What takes back what was said."""


@verb("set", "annotator set model-eye.case.jsonld --eye left --kind diabetic")
@click.argument("case", type=EXISTING)
@click.option("--eye", type=click.Choice(["right", "left", NOT_SAID]), help="The eye; quadrants of places need it.")
@click.option(
    "--places",
    type=click.Choice(["keep", "mirror"]),
    help="With the other eye: keep the clock hours of places, or mirror them, so that nasal stays nasal.",
)
@click.option("--kind", metavar="NAME", help=f"Kind of operation, one of the vocabulary's, or {NOT_SAID}.")
def command(case: Path, eye: str | None, places: str | None, kind: str | None) -> None:
    """Say which eye a case is about, and which kind of operation: what the window shows first.

    Both are one change, which the window can undo.
    """
    if eye is None and kind is None:
        raise click.UsageError("say --eye, --kind or both")
    if places and eye is None:
        raise click.UsageError("--places goes with --eye")
    with opened(case, writable=True) as session:
        done = session.do(lambda before: _changed(before, eye, places, kind))
    say(done.says)


def _changed(case: "Case", eye: str | None, places: str | None, kind: str | None) -> "Edited":
    from annotator.model.case import Eye
    from annotator.model.edits import Edited, set_eye, set_kind

    says = []
    if eye is not None:
        other = None if eye == NOT_SAID else Eye(eye)
        _check_places(case, other, places)
        case, said = set_eye(case, other, mirrored=places == "mirror" and other is not case.eye)
        says.append(said)
    if kind is not None:
        case, said = set_kind(case, "" if kind == NOT_SAID else case.vocabulary.kind(kind).name)
        says.append(said)
    return Edited(case, "; ".join(says))


def _check_places(case: "Case", eye: "Eye | None", places: str | None) -> None:
    """Raises UsageError where places would mean something else, and nobody said whether they should."""
    from annotator.model.retina import depends_on_eye

    count = sum(depends_on_eye(tag.place) for tag in case.tags)
    if places is None and count and None not in (eye, case.eye) and eye is not case.eye:
        tags = f"{count} tag{'s' * (count > 1)}"
        raise click.UsageError(
            f"the places of {tags} are clock hours of a {case.eye} eye; give --places keep, or --places mirror"
        )
