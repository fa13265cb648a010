"""From a recording to chapters and durations, as a user would run it."""

import csv
import io
import json
import re
from pathlib import Path

from tests.cli.conftest import Annotate, make_video

ROWS = """start,end,step
1,5,core vitrectomy
5,9,segmentation
9,12,bimanual
6,8,delamination
"""


def test_check_finds_what_the_chapters_leave_out(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text(ROWS, encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    found = annotate("check", case)
    assert found.status == 1
    assert "Segmentation" in found.out
    assert "Delamination" in found.out
    chapters = tmp_path / "chapters.vtt"
    written = annotate("chapters", case, "--out", chapters)
    assert written.status == 0
    assert "Segmentation" in written.err
    assert "Delamination" in written.err
    assert len(re.findall("-->", chapters.read_text(encoding="utf-8"))) == 2


def test_a_clean_case_checks_clean(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step\n0,10,core vitrectomy\n10,19,segmentation\n", encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    checked = annotate("check", case)
    assert checked.out == ""
    assert checked.err.startswith(f"no problems found in {case}\nlooked for: overlaps, gaps from 60 s, ")
    assert checked.status == 0


def test_a_check_of_a_film_that_was_cut_says_that_its_times_are_the_films(
    annotate: Annotate, video: Path, tmp_path: Path
) -> None:
    cut = tmp_path / "cut.case.jsonld"
    assert annotate("new", video, "--altered", "cut", "--out", cut).status == 0
    assert "marked as cut: times are those of the film" in annotate("check", cut).err


def test_a_check_of_nothing_says_so(annotate: Annotate, case: Path) -> None:
    """It would pass for praise that no problem is found where nobody has tagged anything."""
    checked = annotate("check", case)
    assert (checked.status, checked.err) == (0, f"nothing is tagged yet in {case}\n")


def test_formats_agree_with_each_other(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text(ROWS, encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    as_json = json.loads(annotate("durations", case, "--format", "json").out)
    out = tmp_path / "durations.csv"
    assert annotate("durations", case, "--out", out).status == 0, "the ending says the format"
    read = list(csv.reader(io.StringIO(out.read_text(encoding="utf-8-sig"))))
    labels = {row[1] for row in read if len(row) > 1}
    assert {row["label"] for row in as_json["rows"]} <= labels
    assert "Core vitrectomy" in annotate("durations", case).out


def test_several_recordings_are_one_case(annotate: Annotate, tmp_path: Path) -> None:
    parts = [make_video(tmp_path / f"part{number}.mp4", 4, "25", "-g", "25") for number in (1, 2)]
    # The same picture twice would be the same recording: make the second differ.
    parts[1] = make_video(tmp_path / "part2.mp4", 4, "25", "-g", "25", "-vf", "negate")
    case = tmp_path / "two.case.jsonld"
    assert annotate("new", *parts, "--out", case).status == 0
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step\n3,5,core vitrectomy\n", encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    joined = tmp_path / "joined.mkv"
    told = annotate("embed", case, "--out", joined)
    assert told.status == 0, told.err
    facts = json.loads(annotate("inspect", joined, "--json").out)
    assert facts["duration_ms"] == 8000
    assert facts["frames"] == 200
    assert facts["chapters"] == [{"start_ms": 3000, "end_ms": 5000, "title": "Core vitrectomy"}]


def test_the_demo_leaves_what_it_promises(annotate: Annotate, tmp_path: Path) -> None:
    out = tmp_path / "demo"
    shown = annotate("demo", "--out", out)
    assert shown.status == 0, shown.err
    assert "Core vitrectomy" in shown.out
    assert {path.name for path in out.iterdir()} >= {
        "case.jsonld",
        "chapters.vtt",
        "chapters-nested.vtt",
        "recording-with-chapters.mp4",
        "durations.csv",
        "durations.xlsx",
        "durations.html",
    }
    assert annotate("demo", "--out", out).status == 0, "it runs again over its own output"
