"""`annotator merge`: two copies of a case, edited apart, become one."""

import re
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate, tags_in


@pytest.fixture
def copies(annotate: Annotate, case: Path, tmp_path: Path) -> tuple[Path, Path]:
    """Two copies in two folders, with a tag in common, made long before, and one of their own each."""
    add(annotate, case, "0,2,port placement")
    text = case.read_text(encoding="utf-8")
    case.write_text(re.sub(r'"(created|modified)":"\d{4}', r'"\1":"2025', text), encoding="utf-8")
    (tmp_path / "elsewhere").mkdir()
    yours = tmp_path / "elsewhere" / "yours.case.jsonld"
    shutil.copy(case, yours)
    add(annotate, case, "2,7,core vitrectomy")
    add(annotate, yours, "8,10,port removal")
    return case, yours


def add(annotate: Annotate, case: Path, row: str) -> None:
    table = case.with_name("rows.csv")
    table.write_text(f"start,end,step\n{row}\n", encoding="utf-8")
    added = annotate("tags", case, "--add", table)
    assert added.status == 0, added.err


def test_one_case_of_two(annotate: Annotate, copies: tuple[Path, Path], tmp_path: Path) -> None:
    kept = [one.read_bytes() for one in copies]
    out, back = tmp_path / "both.case.jsonld", tmp_path / "back.case.jsonld"
    merged = annotate("merge", *copies, "--out", out)
    assert (merged.status, merged.out) == (0, ""), merged.err
    assert "3 tags, no conflicts" in merged.err
    assert [tag["notation"] for tag in tags_in(annotate, out)] == ["port-placement", "core-vitrectomy", "port-removal"]
    assert annotate("merge", *reversed(copies), "--out", back).status == 0
    assert back.read_bytes() == out.read_bytes()
    assert [one.read_bytes() for one in copies] == kept


def test_conflicts_are_listed_and_both_versions_stay(
    annotate: Annotate, copies: tuple[Path, Path], tmp_path: Path
) -> None:
    for copy, end in zip(copies, ("t=0,1", "t=0,1.5"), strict=True):
        text, count = re.subn(r'"t=0,2[.0-9]*"', f'"{end}"', copy.read_text(encoding="utf-8"))
        assert count == 1
        copy.write_text(text, encoding="utf-8")
    out = tmp_path / "both.case.jsonld"
    merged = annotate("merge", *copies, "--out", out)
    assert (merged.status, "1 conflict" in merged.err) == (1, True), merged.err
    assert "Port placement at 00:00:00.000 was changed in both copies" in merged.out
    assert "only proposed" in annotate("durations", out).err
    assert len(tags_in(annotate, out)) == 4


def test_what_is_there_already_is_never_overwritten(
    annotate: Annotate, copies: tuple[Path, Path], video: Path, tmp_path: Path
) -> None:
    link = tmp_path / "link.case.jsonld"
    link.symlink_to(copies[1])
    kept = {path: path.read_bytes() for path in (*copies, video)}
    for out in (*copies, video, link):
        assert annotate("merge", *copies, "--out", out).status == 2
    assert {path: path.read_bytes() for path in kept} == kept


def test_two_cases_that_are_no_copies_are_refused(
    annotate: Annotate, copies: tuple[Path, Path], video: Path, tmp_path: Path
) -> None:
    other, out = tmp_path / "other.case.jsonld", tmp_path / "both.case.jsonld"
    assert annotate("new", video, "--out", other).status == 0
    refused = annotate("merge", copies[0], other, "--out", out)
    assert (refused.status, out.exists()) == (2, False)
    assert "not two copies of one case" in refused.err
