"""The option with which tables that leave have what a training body calls the roles."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from annotator.cli.verb import EXISTING

if TYPE_CHECKING:
    from annotator.model.case import Case

role_terms = click.option(
    "--role-terms",
    type=EXISTING,
    metavar="FILE",
    help="Table role,term: add a column with what a training body calls each performer.",
)


def terms_of(path: Path | None, case: "Case") -> Mapping[str, str] | None:
    """The terms in the file, by the codes of the case's roles; None where none is given."""
    from annotator.store.roles import read_terms

    return None if path is None else read_terms(path, case.roles)
