"""Tables of tags from strangers: one that is far too long, and one in which every step is misspelt."""

import tracemalloc
from collections.abc import Iterator
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from annotator.errors import AnnotatorError
from annotator.model.case import Case
from annotator.workflow.add_tags import read_tags
from annotator.workflow.frames import CaseFrames
from tests.benchmarks.measurement import Measurement, seconds
from tests.benchmarks.store import large_case

ROWS, MISSPELT = 1_000_000, 10_000


def measurements() -> Iterator[Measurement]:
    case = large_case()
    with TemporaryDirectory() as folder:
        table = Path(folder) / "tags.csv"
        with table.open("w") as file:
            file.write("start,end,step\n")
            file.writelines(f"{number}.0,{number}.5,core\n" for number in range(ROWS))
        name, whole = f"a table of {ROWS:,} rows refused", "its lines read and split"
        yield Measurement(name, seconds(lambda: _read(table, case)), whole, seconds(lambda: _split(table)))
        yield Measurement(f"{name}, most memory", _peak(table, case), "its size", table.stat().st_size / 1e6, "MB")
        for kind, misspelt in (("told", "corre {}".format), ("taken to be confirmed", _a_slip_in_each_word)):
            lines = (f"{number}.0,{number}.5,{misspelt(number)}\n" for number in range(MISSPELT))
            table.write_text("start,end,step\n" + "".join(lines))
            name = f"{MISSPELT:,} misspelt steps {kind} (to be at most 3 s)"
            yield Measurement(name, seconds(lambda: _read(table, case)), whole, seconds(lambda: _split(table)))


def _a_slip_in_each_word(number: int) -> str:
    """A step of two words, each time misspelt in another way."""
    dice = Random(number)
    return " ".join(
        word.replace(dice.choice(word), dice.choice("aeiouxyz")) for word in ("core", "vitrectomy", "bimanual")
    )


def _read(table: Path, case: Case) -> None:
    try:
        read_tags(table, case, CaseFrames(case, {}))
    except AnnotatorError as error:
        str(error)


def _split(table: Path) -> list[list[str]]:
    with table.open() as file:
        return [line.split(",") for line in file]


def _peak(table: Path, case: Case) -> float:
    """In MB."""
    tracemalloc.start()
    try:
        _read(table, case)
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
