"""`annotator library` as its user meets it: what is printed where, the exit status, and what is said of odd input."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate
from tests.library.cases import put, with_note
from tests.measure.cases import tag

KEYS = {
    *(
        "cases",
        "of",
        "share",
        "interval",
        "times",
        "median_ms",
        "quartiles_ms",
        "median_interval_ms",
        "last",
        "moments",
    ),
    *("notation", "label", "out_of", "seed", "median_last_end_ms", "notes"),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Six cases, of which one is damaged."""
    made = tmp_path / "cases"
    for number in range(5):
        put(made, f"{number}", tag("core", 0, 1_000 * (number + 1)), tag("shave", 9_000, 9_500))
    put(made, "5", with_note(tag("bleeding", 2_000, 2_000), "\x1b[2Jacts"), title="\x1b[2Jtitle")
    (made / "damaged.case.jsonld").write_bytes((made / "0.case.jsonld").read_bytes()[:300])
    return made


def test_an_answer_for_programs_has_its_keys_and_names_the_damaged_case_beside_it(
    annotate: Annotate, folder: Path
) -> None:
    done = annotate("library", folder, "ask", "core", "--json")
    found = json.loads(done.out)
    assert found.keys() == KEYS
    assert (found["cases"], found["of"], found["median_ms"], found["quartiles_ms"]) == (5, 6, 3_000, [2_000, 4_000])
    assert found["times"] == [1_000, 2_000, 3_000, 4_000, 5_000]
    assert found["interval"] == pytest.approx([0.4365, 0.9699], abs=5e-5)  # statsmodels 0.15 gives these
    assert (
        found["last"]
        == found["moments"][-1]
        == {
            "case": "4.case.jsonld",
            "title": "Model eye 4",
            "start_ms": 0,
            "end_ms": 5_000,
        }
    )
    assert "left out: damaged.case.jsonld" in done.err


def test_an_answer_to_read_says_what_it_is_out_of_and_that_it_judges_nobody(annotate: Annotate, folder: Path) -> None:
    done = annotate("library", folder, "ask", "bleeding", "--within", "core", "--out-of", "possible")
    assert done.out.startswith("Bleeding: in 0 of 5 (the cases in which it could arise)")
    assert "They rank nobody" in done.out
    assert "1 case of the 6 left out" in done.err


def test_nothing_found_is_told_by_the_exit_status(annotate: Annotate, folder: Path) -> None:
    assert annotate("library", folder, "find", "bleeding").status == 0
    assert annotate("library", folder, "find", "bleeding", "--within", "core").status == 1


def test_what_a_stranger_wrote_does_not_act_on_the_terminal(annotate: Annotate, folder: Path) -> None:
    for words in (("find", "bleeding"), ("find", "bleeding", "--json"), ("ask", "bleeding")):
        done = annotate("library", folder, *words)
        assert "\x1b" not in done.out + done.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "“find”, “ask”, “export” or “copies”"),
        (("find",), "say what to look for"),
        (("find", "core", "--among", "eye"), "--among needs a fact and its value"),
        (("ask", "cor vitrectmy"), "Core vitrectomy"),
        (("export", "--out", "tags.xlsx"), ".csv or .parquet"),
    ],
)
def test_wrong_use_is_told_with_what_to_try(
    annotate: Annotate, folder: Path, words: tuple[str, ...], says: str
) -> None:
    done = annotate("library", folder, *words)
    assert done.status == 2
    assert says in done.err


def test_a_folder_without_cases_is_no_answer_of_none(annotate: Annotate, tmp_path: Path) -> None:
    done = annotate("library", tmp_path, "ask", "core")
    assert (done.status, done.out) == (2, "")
    assert "There is no case in" in done.err
