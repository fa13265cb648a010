"""`annotator logbook` as a user runs it."""

import csv
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.model.recording import Altered
from tests.cli.conftest import Annotate
from tests.library.review_cases import write, write_learner
from tests.publish.report.review_example import learner

MAP = """columns:
  - {name: No., of: case-number}
  - {name: Month, of: month}
  - {name: Part, of: role}
  - {name: Own, of: own-share}
  - {name: Unsaid, of: not-said}
critical: [ports, core, removal]
own: [trainee]
roles: {trainee: P, teacher: T}
"""


@pytest.fixture
def map_file(tmp_path: Path) -> Path:
    path = tmp_path / "map.yaml"
    path.write_text(MAP, encoding="utf-8")
    return path


def table(text: str) -> list[list[str]]:
    return list(csv.reader(text.splitlines()))


def test_a_row_for_each_case_with_the_own_share(annotate: Annotate, tmp_path: Path, map_file: Path) -> None:
    """Of case 1: ports 1 s by the teacher, core 59 s by the trainee, removal 1.5 s of which nobody said who."""
    write_learner(tmp_path / "cases", 2)
    made = annotate("logbook", "--map", map_file, tmp_path / "cases")
    assert (made.status, made.err) == (0, "")
    head, first, second = table(made.out)
    assert head == ["No.", "Month", "Part", "Own", "Unsaid", "note"]
    assert first == ["1", "2026-01", "P; T", f"{59 / 60:.3f}", f"{1.5 / 61.5:.3f}", "the supervisor decides"]
    assert second[:2] == ["2", "2026-02"]


def test_one_critical_step_is_enough(annotate: Annotate, tmp_path: Path, map_file: Path) -> None:
    map_file.write_text(MAP.replace("[ports, core, removal]", "[core]"), encoding="utf-8")
    (case,) = write_learner(tmp_path / "cases", 1)
    assert table(annotate("logbook", "--map", map_file, case).out)[1][2:5] == ["P", "1.000", "0.000"]


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("[ports, core, removal]", "[nothing of the kind]", "nothing of the kind"),
        ("[ports, core, removal]", "[removal]", "nobody said who did the critical steps"),
    ],
)
def test_a_missing_share_has_its_reason(
    annotate: Annotate, tmp_path: Path, map_file: Path, old: str, new: str, why: str
) -> None:
    map_file.write_text(MAP.replace(old, new), encoding="utf-8")
    (case,) = write_learner(tmp_path / "cases", 1)
    row = table(annotate("logbook", "--map", map_file, case).out)[1]
    assert row[3] == ""
    assert row[-1].startswith("the supervisor decides; ")
    assert why in row[-1]


def test_a_speeded_recording_gives_no_share(annotate: Annotate, tmp_path: Path, map_file: Path) -> None:
    case = learner(1)[0].case
    speeded = replace(case, recordings=tuple(replace(one, altered=(Altered.SPED_UP,)) for one in case.recordings))
    row = table(annotate("logbook", "--map", map_file, write(tmp_path, "one", speeded)).out)[1]
    assert row[-1] == "the supervisor decides; the recording is sped up"


def test_withdrawn_consent_is_left_out_and_named(annotate: Annotate, tmp_path: Path, map_file: Path) -> None:
    case = write(tmp_path, "one", learner(1)[0].case, consent="consent-withdrawn")
    made = annotate("logbook", "--map", map_file, case)
    assert len(table(made.out)) == 1
    assert "left out: one: its consent is withdrawn" in made.err


def test_words_that_a_spreadsheet_would_run_are_disarmed(annotate: Annotate, tmp_path: Path, map_file: Path) -> None:
    map_file.write_text(MAP.replace("trainee: P", 'trainee: "=1+1"'), encoding="utf-8")
    (case,) = write_learner(tmp_path / "cases", 1)
    assert table(annotate("logbook", "--map", map_file, case).out)[1][2].startswith("'=1+1")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("of: month", "of: moon", "line 3: “moon” is no fact"),
        ("name: Month", "name: Own", "two columns have one name"),
        ("own: [trainee]", "own: []", "nothing is listed under “own”"),
        ("own: [trainee]\n", "", "a map of a logbook needs “own”"),
        ("roles: {trainee: P, teacher: T}", "roles: [P]", "this is written as “role: what it is called”"),
        (MAP, "5", "map.yaml: this is not a valid map of a logbook"),
    ],
)
def test_a_faulty_map_is_refused_with_its_place(
    annotate: Annotate, tmp_path: Path, map_file: Path, old: str, new: str, says: str
) -> None:
    assert old in MAP
    map_file.write_text(MAP.replace(old, new, 1), encoding="utf-8")
    (case,) = write_learner(tmp_path / "cases", 1)
    refused = annotate("logbook", "--map", map_file, case)
    assert (refused.status, refused.out) == (2, "")
    assert says in refused.err
