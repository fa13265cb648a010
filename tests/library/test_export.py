"""What statisticians get: read back, it gives the numbers that the program gives, and it names nobody."""

import csv
import io
import sys
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from annotator.errors import AnnotatorError, StoreError
from annotator.library.export import export
from annotator.library.library import opened
from annotator.measure.durations import summarise
from annotator.model.case import Case
from annotator.model.facts import Fact
from annotator.model.place import Eye
from tests.library.cases import put, with_note
from tests.measure.cases import tag


@pytest.fixture
def cases(folder: Path) -> list[Case]:
    first = put(
        folder,
        "Jane Roe",
        tag("core", 1_000, 5_000),
        tag("core", 4_000, 9_000, number=1),
        with_note(tag("bleeding", 2_000, 2_000), "not for others"),
        tag("removal", 90_000, None),
        id="urn:test:first",
        eye=Eye.LEFT,
        facts=(Fact("case-number", "7"),),
    )
    second = put(folder, "b", replace(tag("shave", 0, 10), strength="=20 %"), id="urn:test:second")
    put(folder, "c", tag("core", 0, 1_000), facts=(Fact("consent", "consent-withdrawn"),))
    return [first, second]


def written(folder: Path, out: Path, **options: Any) -> tuple[str, ...]:
    with opened(folder) as library:
        return export(library, out, **options).notes


def rows(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))


def test_tables_read_back_give_the_numbers_of_each_case(folder: Path, tmp_path: Path, cases: list[Case]) -> None:
    notes = written(folder, tmp_path / "tags.csv")
    assert notes[0].startswith("c.case.jsonld is left out: consent")
    tags, durations = rows(tmp_path / "tags.csv"), rows(tmp_path / "tags-durations.csv")
    read = [(one["case"], int(one["start_ms"]), int(one["end_ms"]) if one["end_ms"] else None) for one in tags]
    assert read == [(case.id, one.start, one.end) for case in cases for one in case.tags]
    for case in cases:
        for facet in case.vocabulary.facets:
            expected = [(one.notation, one.visits, one.total, one.share) for one in summarise(case, facet.name).rows]
            found = [
                (one["notation"], int(one["occurrences"]), int(one["total_ms"]), float(one["share"]))
                for one in durations
                if (one["case"], one["category"]) == (case.id, facet.name)
            ]
            assert found == expected
    said = rows(tmp_path / "tags-cases.csv")
    assert [(one["fact_case_number"], one["fact_eye"]) for one in said] == [("7", "left"), ("", "")]


def test_neither_titles_nor_notes_nor_names_of_files_leave(folder: Path, tmp_path: Path, cases: list[Case]) -> None:
    written(folder, tmp_path / "tags.csv")
    everything = "".join(path.read_text(encoding="utf-8") for path in tmp_path.glob("*.csv"))
    assert cases[0].id in everything
    assert not any(text in everything for text in ("Jane Roe", "Model eye", "not for others"))
    assert "'=20 %" in everything


def test_every_column_is_in_the_dictionary(folder: Path, tmp_path: Path, cases: list[Case]) -> None:
    written(folder, tmp_path / "tags.csv")
    explained = {(one["table"], one["column"]) for one in rows(tmp_path / "tags-dictionary.csv") if one["meaning"]}
    for table, path in (("tags", "tags"), ("durations", "tags-durations"), ("cases", "tags-cases")):
        assert {(table, column) for column in rows(tmp_path / f"{path}.csv")[0]} <= explained


def test_parquet_holds_the_same_with_types(folder: Path, tmp_path: Path, cases: list[Case]) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    written(folder, tmp_path / "tags.parquet")
    table = parquet.read_table(tmp_path / "tags.parquet")
    assert table.column("end_ms").to_pylist() == [one.end for case in cases for one in case.tags]
    assert str(table.schema.field("confirmed").type) == "bool"
    assert parquet.read_table(tmp_path / "tags-durations.parquet").num_rows == sum(
        len(summarise(case, facet.name).rows) for case in cases for facet in case.vocabulary.facets
    )


def test_without_pyarrow_it_says_what_to_install(
    folder: Path, tmp_path: Path, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(AnnotatorError, match="pip install"):
        written(folder, tmp_path / "tags.parquet")
    assert not list(tmp_path.glob("*.parquet"))


def test_what_it_wrote_is_replaced_and_what_others_wrote_is_not(
    folder: Path, tmp_path: Path, cases: list[Case]
) -> None:
    for _ in range(2):
        written(folder, tmp_path / "tags.csv")
    (tmp_path / "tags-cases.csv").write_text("case,remark\n1,mine\n")
    with pytest.raises(StoreError, match="--replace"):
        written(folder, tmp_path / "tags.csv")
    written(folder, tmp_path / "tags.csv", replace=True)
    with pytest.raises(StoreError, match=r"\.csv or \.parquet"):
        written(folder, tmp_path / "tags.xlsx")
