"""`annotator open`: the window."""

from pathlib import Path

import click

from annotator.cli.verb import EXISTING, verb


@verb("open", "annotator open first-part.mp4 second-part.mp4")
@click.argument("paths", metavar="[CASE | VIDEO...]", nargs=-1, type=EXISTING)
def command(paths: tuple[Path, ...]) -> int:
    """Open the window: on a case, on recordings (several are listed in order first), or on the start screen."""
    from annotator.desktop.app import run

    return run(paths)
