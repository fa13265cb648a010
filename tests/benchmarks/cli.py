"""How light the command line starts."""

import subprocess
import sys
from collections.abc import Iterator

from tests.benchmarks.measurement import Measurement, in_turn


def measurements() -> Iterator[Measurement]:
    helped, bare = in_turn(
        lambda: subprocess.run([sys.executable, "-m", "annotator", "--help"], capture_output=True, check=True),
        lambda: subprocess.run([sys.executable, "-c", "pass"], capture_output=True, check=True),
        runs=11,
    )
    yield Measurement("annotator --help", helped, "a bare interpreter", bare)
