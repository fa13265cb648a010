"""`python -m annotator` is the same as `annotator`."""

import sys

if not sys.flags.safe_path:
    # Python has put the working folder first; modules that lie beside a stranger's case must not be taken for ours.
    del sys.path[0]

from annotator.cli import run

run()
