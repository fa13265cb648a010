"""The window as a whole: how soon it shows a recording, and how much memory a long one takes."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from annotator.model.case import Case, Tag
from annotator.model.timecode import HOUR
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.cases_of import beside
from annotator.workflow.new_case import new_case
from tests.benchmarks.measurement import Measurement
from tests.benchmarks.media import AN_HOUR, drawn, looped

RUNS = 3
TAGS = 2_000
LONG = 3 * HOUR
_BARE = "a bare player of Qt"


def measurements() -> Iterator[Measurement]:
    with TemporaryDirectory(prefix="annotator-bench-") as name:
        folder = Path(name)
        short = drawn(folder / "short.mp4", "1M")
        for ending in (".mp4", ".ts"):
            yield from _start(looped(short, folder / f"hour{ending}", AN_HOUR))
        if sys.platform.startswith("linux"):
            yield _memory(looped(short, folder / "long.mp4", 3 * AN_HOUR), folder)


def _start(hour: Path) -> Iterator[Measurement]:
    """Cold: this recording was never opened. Warm: it was, so that there are a case, an index and strips."""
    for kind in ("window", "bare"):  # as after it was installed: Python keeps what it has compiled
        _watched(kind, "start", hour, hour.parent / "unwatched")
    told: dict[str, list[Mapping[str, float]]] = {"cold": [], "warm": [], "bare": []}
    for _ in range(RUNS):
        with TemporaryDirectory() as cache:
            beside(hour).unlink(missing_ok=True)
            for state in ("cold", "warm"):
                told[state].append(_watched("window", "start", hour, Path(cache)))
            told["bare"].append(_watched("bare", "start", hour, Path(cache)))
    hour.unlink()

    def median(state: str, what: str) -> float:
        return statistics.median(one[what] for one in told[state])

    of = f"an hour of 1080p60 in {hour.suffix[1:].upper()}"
    yield Measurement(f"window up, {of}", median("cold", "window"), _BARE, median("bare", "window"))
    for state in ("cold", "warm"):
        name = f"first frame shown, {of}, {state} (to be at most 2 s)"
        yield Measurement(name, median(state, "first"), _BARE, median("bare", "first"))


def _memory(long: Path, folder: Path) -> Measurement:
    """With the film strip whole, many tags, after playing and jumping about."""
    case = new_case([long], find("vitreoretinal"), "Long", beside(long))
    Session.create(beside(long), _tagged(case)).close()
    window, bare = (
        _watched(kind, "work", path, folder / "cache")["peak"]
        for kind, path in (("window", beside(long)), ("bare", long))
    )
    name = f"peak memory with three hours of 1080p60 and {TAGS:,} tags, played at 4 times speed (to be below 400 MB)"
    return Measurement(name, window, _BARE, bare, "MB")


def _tagged(case: Case) -> Case:
    steps = [concept.iri for concept in case.vocabulary.in_facet("step")]
    length = LONG // TAGS
    tags = (
        Tag(f"urn:tag:{number}", steps[number % len(steps)], number * length, (number + 1) * length)
        for number in range(TAGS)
    )
    return Case(case.id, case.title, case.vocabulary, case.recordings, tuple(tags))


def _watched(kind: str, task: str, path: Path, cache: Path) -> dict[str, float]:
    """What a watched process tells; times are seconds from its start."""
    folders = {name: str(cache) for name in ("XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "LOCALAPPDATA")}
    compiled = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(path.parent / "compiled")}
    environment = {"QT_QPA_PLATFORM": "offscreen"} | os.environ | folders | compiled
    command = [sys.executable, "-m", "tests.benchmarks.watched", kind, task, str(path)]
    started = time.monotonic()
    out = subprocess.run(command, env=environment, check=True, text=True, capture_output=True).stdout
    told = (line.split() for line in out.splitlines())
    return {what: float(value) - (0 if what == "peak" else started) for what, value in told}
