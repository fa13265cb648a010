"""The command line: `annotator VERB ...`; one module per verb, loaded only when it is asked for."""

import sys
from typing import NoReturn

STOPPED = 130
"""The exit status of a program that its user has stopped."""


def run() -> NoReturn:
    """Run the command line and leave with its exit status; no traceback reaches the user, not even of loading it."""
    try:
        from annotator.cli.main import run as run_loaded
    except KeyboardInterrupt:
        sys.exit(STOPPED)
    run_loaded()


__all__ = ["STOPPED", "run"]
