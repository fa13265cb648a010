"""`python -m annotator` is the same as `annotator`."""

from annotator.cli import run

run()
