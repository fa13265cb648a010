"""`annotator library`: find, answer and export over a folder tree of cases."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from annotator.cli.verb import EXISTING, emit, progress, say, verb, warn
from annotator.errors import told

if TYPE_CHECKING:
    from annotator.library.ask import OutOf, Told
    from annotator.library.library import Library
    from annotator.library.search import Found, Question

Function = TypeVar("Function", bound=Callable[..., Any])


@click.group("library", epilog="Example:  annotator library cases ask delamination")
@click.argument("folder", type=EXISTING)
@click.pass_context
def command(ctx: click.Context, folder: Path) -> None:
    """Find tags in all cases of a folder and the folders below it, and answer questions over them.

    The cases are only read. What is known of them is kept in an index in the cache folder, which may be deleted at any
    time. A case that can't be read is named and left out.
    """
    ctx.obj = folder


@contextmanager
def _library(folder: Path) -> "Iterator[Library]":
    from annotator.library.library import opened

    with ExitStack() as kept:
        with progress("reading cases") as report:
            library = kept.enter_context(opened(folder, report))
        warn(*told([f"left out: {says}" for says in library.left_out]))
        yield library


def _asked(*, is_relation_after: bool) -> Callable[[Function], Function]:
    """The options that narrow what is looked for, in one wording for all verbs."""
    options = [
        click.option("--within", multiple=True, metavar="CONCEPT", help="Wholly inside an occurrence of this one."),
        click.option("--during", multiple=True, metavar="CONCEPT", help="At the same time as this one."),
        *(
            [click.option("--after", multiple=True, metavar="CONCEPT", help="Begun after this one first ended.")]
            if is_relation_after
            else []
        ),
        click.option("--performer", default="", metavar="ROLE", help="Done by this role."),
        click.option("--place", default="", help="At this place on the retina, such as 4-6 mid-periphery or macula."),
        click.option(
            "--among",
            multiple=True,
            metavar="FACT=VALUE",
            help="Only in cases of which this is true; of one fact any of its values, of several facts all.",
        ),
    ]

    def decorate(function: Function) -> Function:
        for option in reversed(options):
            function = option(function)
        return function

    return decorate
