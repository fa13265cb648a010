"""What all verbs share: an example in the help, `--quiet`, messages, progress."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from annotator.cli.telling import tell
from annotator.errors import LONGEST_SENTENCE
from annotator.plain_text import plain, shown
from annotator.progress import Progress, silent

if TYPE_CHECKING:
    from annotator.store.ways_out import WayOut

Function = TypeVar("Function", bound=Callable[..., Any])

EXISTING = click.Path(path_type=Path)
"""Existence is checked by the room that opens the file, which says what to try."""

_QUIET = "annotator.quiet"


def verb(name: str, example: str) -> Callable[[Function], click.Command]:
    """A command with an example at the end of its help and a `--quiet` switch."""

    def decorate(function: Function) -> click.Command:
        quiet = click.option(
            "--quiet", is_flag=True, expose_value=False, callback=_keep_quiet, help="Print problems only."
        )
        return click.command(name, epilog=f"Example:  {example}")(quiet(function))

    return decorate


def replacing(what: str) -> Callable[[Function], Function]:
    """The option `--replace`, in one wording for all verbs; `what` may be replaced."""
    words = f"Replace {what}. Never replaces a case or a recording that a case refers to."
    return click.option("--replace", is_flag=True, help=words)


def say(*lines: str) -> None:
    """Tell the user what was done; on stderr, so that results on stdout stay clean."""
    for line in lines if not _is_quiet() else ():
        tell(plain(line, LONGEST_SENTENCE))


def counted(findings: int, where: str) -> str:
    """How many findings there are, in a line for the end of a check."""
    return f"{findings} finding{'s' * (findings != 1)} in {where}" if findings else f"no problems found in {where}"


def warn(*notes: str) -> None:
    """Tell the user what needs looking at, also with `--quiet`."""
    for note in notes:
        tell(f"note: {plain(note, LONGEST_SENTENCE)}")


@contextmanager
def progress(label: str) -> Iterator[Progress]:
    """A bar with the remaining time while long work runs; Ctrl+C stops the work."""
    if _is_quiet() or not sys.stderr.isatty():
        yield silent
        return
    with click.progressbar(length=1000, label=label, file=sys.stderr, show_eta=True) as bar:
        yield _Bar(bar, label)


class _Bar(NamedTuple):
    """What is said before the bar goes on with what is being made: “writing clip 3 of 14”."""

    shown: Any
    label: str

    def __call__(self, done: float, total: float, /) -> None:
        self.shown.update(round(1000 * done / total) - self.shown.pos if total else 0)

    def tell(self, words: str, /) -> None:
        self.shown.label = f"{self.label} {words}"


def emit(text: str | bytes, out: "WayOut | None", for_programs: bool = False) -> None:
    """Write a result to a file, or to stdout where no file is named.

    On a terminal nothing in it acts on the terminal; what is read by programs comes to them as it is.
    """
    if out is not None:
        out.write(text.encode() if isinstance(text, str) else text)
        say(f"wrote {out.path}")
    elif isinstance(text, str):
        is_kept = for_programs and not sys.stdout.isatty()
        click.echo(text if is_kept else shown(text), nl=not text.endswith("\n"))
    else:
        raise click.UsageError("this format can't be printed; name a file with --out")


def _keep_quiet(ctx: click.Context, _param: click.Parameter, value: bool) -> None:
    ctx.meta[_QUIET] = value


def _is_quiet() -> bool:
    ctx = click.get_current_context(silent=True)
    return bool(ctx and ctx.meta.get(_QUIET))
