"""The command line: `annotator VERB ...`; one module per verb, loaded only when it is asked for."""

from annotator.cli.main import run

__all__ = ["run"]
