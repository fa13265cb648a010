"""Cases of somebody who learns, as files."""

from pathlib import Path

from msgspec.structs import replace

from annotator.formats.case import casefile
from annotator.model.case import Case
from annotator.model.facts import Fact
from tests.publish.report.review_example import learner


def write(folder: Path, name: str, case: Case, **facts: str) -> Path:
    """A case file with facts, by their names with _ for -."""
    said = tuple(Fact(name.replace("_", "-"), value) for name, value in facts.items())
    path = folder / f"{name}.case.jsonld"
    path.write_bytes(casefile.dumps(replace(case, facts=said), 1))
    return path


def write_learner(folder: Path, cases: int) -> list[Path]:
    """Cases 1, 2 ... of one month each, from January 2026 on."""
    folder.mkdir(exist_ok=True)
    return [
        write(folder, f"op-{number:02d}", one.case, case_number=str(number), month=f"2026-{number:02d}")
        for number, one in enumerate(learner(cases), start=1)
    ]
