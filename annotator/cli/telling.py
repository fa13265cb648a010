"""A message to whoever is there to read it; all that the start of the program needs of what verbs share."""

from contextlib import suppress

import click

from annotator.plain_text import shown


def tell(text: str) -> None:
    """A message on stderr; where nobody can read it, the work goes on, and the exit status tells."""
    with suppress(OSError):
        click.echo(shown(text), err=True)
