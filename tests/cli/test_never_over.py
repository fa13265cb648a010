"""No command writes over a recording, a case or a file of another kind; what an earlier run wrote is replaced."""

import os
import shutil
import sys
from pathlib import Path

import pytest
import xlsxwriter

from annotator.store.session import Session
from tests.cli.conftest import Annotate, make_video

FORMS = ("csv", "json", "xlsx", "html", "txt")


@pytest.fixture
def work(annotate: Annotate, video: Path, tmp_path: Path) -> Path:
    """A folder with two recordings and a tagged case over one of them."""
    shutil.copy(video, tmp_path / "film.mp4")
    make_video(tmp_path / "other.mp4", 1)
    (tmp_path / "steps.csv").write_text("start,end,step\n0,2,core\n2,4,delamination\n", encoding="utf-8")
    assert annotate("new", tmp_path / "film.mp4", "--out", tmp_path / "c.case.jsonld").status == 0
    assert annotate("tags", tmp_path / "c.case.jsonld", "--add", tmp_path / "steps.csv").status == 0
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.mark.parametrize("name", ["film.mp4", "other.mp4", "c.case.jsonld", "steps.csv", "page.html", "link.vtt"])
@pytest.mark.parametrize("replace", [(), ("--replace",)])
def test_a_chapter_file_takes_the_place_of_nothing_else(
    annotate: Annotate, work: Path, name: str, replace: tuple[str, ...]
) -> None:
    (work / "page.html").write_text("<!doctype html>", encoding="utf-8")
    os.link(work / "film.mp4", work / "link.vtt")
    before = contents(work)
    refused = annotate("chapters", work / "c.case.jsonld", "--out", work / name, *replace)
    assert (refused.status, contents(work) == before) == (2, True)
    assert refused.err.startswith(f"annotator: {work / name} ")
    assert "name a" in refused.err


@pytest.mark.parametrize("form", ["csv", "json", "xlsx", "html", "table"])
def test_a_summary_takes_the_place_of_no_recording_and_no_case(annotate: Annotate, work: Path, form: str) -> None:
    before = contents(work)
    for name in ("film.mp4", "other.mp4", "c.case.jsonld", "c.case.jsonld.previous", ".c.case.jsonld.lock"):
        for more in ((), ("--replace",)):
            refused = annotate("durations", work / "c.case.jsonld", "--format", form, "--out", work / name, *more)
            assert refused.status == 2, name
    assert contents(work) == before


def test_what_an_earlier_run_wrote_is_replaced(annotate: Annotate, work: Path) -> None:
    outs = [("durations", work / f"d.{form}") for form in FORMS] + [("chapters", work / "c.vtt")]
    for verb, out in outs:
        assert annotate(verb, work / "c.case.jsonld", "--out", out).status == 0
    (work / "more.csv").write_text("start,end,step\n5,6,core\n", encoding="utf-8")
    assert annotate("tags", work / "c.case.jsonld", "--add", work / "more.csv").status == 0
    before = contents(work)
    for verb, out in outs:
        again = annotate(verb, work / "c.case.jsonld", "--out", out)
        assert again.status == 0, again.err
        assert before[out.name] != out.read_bytes()


def test_what_somebody_else_made_gives_way_only_if_asked(annotate: Annotate, work: Path) -> None:
    (work / "d.csv").write_bytes((work / "steps.csv").read_bytes())
    (work / "d.json").write_text('{"name": "a package"}', encoding="utf-8")
    (work / "d.html").write_text("<!doctype html><p>mine</p>", encoding="utf-8")
    (work / "c.vtt").write_text("WEBVTT\n\n00:00.000 --> 00:02.000\nNow the membrane\n", encoding="utf-8")
    with xlsxwriter.Workbook(work / "d.xlsx") as workbook:
        workbook.add_worksheet("Mine")
    before = contents(work)
    outs = [("durations", work / f"d.{form}") for form in ("csv", "json", "xlsx", "html")] + [
        ("chapters", work / "c.vtt")
    ]
    for verb, out in outs:
        refused = annotate(verb, work / "c.case.jsonld", "--out", out)
        assert refused.status == 2
        assert "was not written by this program" in refused.err
        assert "--replace" in refused.err
    assert contents(work) == before
    for verb, out in outs:
        assert annotate(verb, work / "c.case.jsonld", "--out", out, "--replace").status == 0


def test_a_recording_gives_way_only_if_asked_and_only_if_no_case_refers_to_it(annotate: Annotate, work: Path) -> None:
    before = contents(work)
    refused = annotate("embed", work / "c.case.jsonld", "--out", work / "other.mp4")
    assert (refused.status, "or replace it with --replace" in refused.err) == (2, True)
    assert annotate("embed", work / "c.case.jsonld", "--out", work / "film.mp4", "--replace").status == 2
    assert contents(work) == before
    assert annotate("embed", work / "c.case.jsonld", "--out", work / "other.mp4", "--replace").status == 0
    assert (work / "other.mp4").read_bytes() != before["other.mp4"]
    assert annotate("new", work / "other.mp4", "--out", work / "second.case.jsonld").status == 0
    before = contents(work)
    refused = annotate("embed", work / "c.case.jsonld", "--out", work / "other.mp4", "--replace")
    assert (refused.status, "second.case.jsonld refers to" in refused.err) == (2, True)
    assert contents(work) == before


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_to_the_recording_is_the_recording(annotate: Annotate, work: Path) -> None:
    (work / "link.mp4").symlink_to("film.mp4")
    before = contents(work)
    for verb in ("embed", "chapters", "durations"):
        assert annotate(verb, work / "c.case.jsonld", "--out", work / "link.mp4").status == 2
    assert annotate("embed", work / "c.case.jsonld", "--out", work / "link.mp4", "--replace").status == 2
    assert contents(work) == before
    assert (work / "link.mp4").is_symlink()


def test_a_clip_never_takes_the_place_of_a_recording_unasked(annotate: Annotate, work: Path) -> None:
    named = work / "00-00-00.000-core-vitrectomy.mp4"
    (work / "film.mp4").rename(named)
    shutil.copy(work / "other.mp4", work / "00-00-02.002-delamination.mp4")
    out = work / "clips"
    assert annotate("clips", work / "c.case.jsonld", "--out", out).status == 0  # the case learns the recording's place
    before = contents(work)
    for more in ((), ("--replace",), ("--copy",)):
        refused = annotate("clips", work / "c.case.jsonld", "--out", work, *more)
        assert refused.status == 2, more
        assert str(named) in refused.err
    assert contents(work) == before
    assert annotate("clips", work / "c.case.jsonld", "--out", out).status == 2
    assert annotate("clips", work / "c.case.jsonld", "--out", out, "--replace").status == 0


def test_a_still_replaces_a_picture_and_nothing_else(annotate: Annotate, work: Path) -> None:
    out = work / "stills"
    assert annotate("clips", work / "c.case.jsonld", "--out", out, "--stills").status == 0
    assert annotate("clips", work / "c.case.jsonld", "--out", out, "--stills").status == 0
    (out / "00-00-00.000-core-vitrectomy.png").write_text("notes of mine", encoding="utf-8")
    before = contents(out)
    assert annotate("clips", work / "c.case.jsonld", "--out", out, "--stills").status == 2
    assert contents(out) == before


def test_a_shared_folder_whose_copy_was_tagged_stays(annotate: Annotate, work: Path) -> None:
    assert annotate("share", work / "c.case.jsonld", "--out", work / "talk").status == 0
    assert annotate("share", work / "c.case.jsonld", "--out", work / "talk").status == 0
    assert annotate("new", work / "talk" / "recording.mp4", "--out", work / "talk.case.jsonld").status == 0
    before = contents(work / "talk")
    refused = annotate("share", work / "c.case.jsonld", "--out", work / "talk")
    assert (refused.status, "talk.case.jsonld refers to" in refused.err) == (2, True)
    assert contents(work / "talk") == before


def test_a_new_case_is_refused_before_the_recordings_are_read(annotate: Annotate, work: Path) -> None:
    before = contents(work)
    for out in ("film.mp4", "steps.csv", "c.case.jsonld", "c.case.jsonld.previous", ".c.case.jsonld.journal"):
        refused = annotate("new", work / "nowhere.mp4", "--out", work / out)
        assert (refused.status, str(work / out) in refused.err) == (2, True)
    assert contents(work) == before


def test_a_vocabulary_that_somebody_has_edited_gives_way_only_if_asked(annotate: Annotate, work: Path) -> None:
    for ending in ("yaml", "ttl", "csv"):
        out = work / f"ours.{ending}"
        assert annotate("vocab", "convert", "general", "--out", out).status == 0
        assert annotate("vocab", "convert", "general", "--out", out).status == 0
        out.write_bytes(out.read_bytes().replace(b"Haemostasis", b"Stopping the bleeding"))
        before = contents(work)
        assert annotate("vocab", "convert", "general", "--out", out).status == 2
        assert contents(work) == before
        assert annotate("vocab", "convert", "general", "--out", out, "--replace").status == 0
    before = contents(work)
    for name in ("steps.csv", "film.mp4", "c.case.jsonld"):
        assert annotate("vocab", "convert", "general", "--out", work / name, "--replace").status == 2
    assert contents(work) == before


@pytest.mark.parametrize("verb", ["clips", "share", "embed", "chapters", "durations"])
def test_a_name_that_is_too_long_is_said(annotate: Annotate, work: Path, verb: str) -> None:
    before = contents(work)
    ending = {"embed": ".mp4", "chapters": ".vtt", "durations": ".csv"}.get(verb, "")
    refused = annotate(verb, work / "c.case.jsonld", "--out", work / f"{'x' * 300}{ending}")
    assert (refused.status, "the name is too long; choose a shorter one" in refused.err) == (2, True)
    assert contents(work) == before


# --- the demo --------------------------------------------------------------------------------------------


def test_the_demo_leaves_a_case_alone_that_was_changed_since(annotate: Annotate, tmp_path: Path) -> None:
    out, second = tmp_path / "demo", tmp_path / "demo-2"
    assert annotate("demo", "--out", out).status == 0
    (tmp_path / "more.csv").write_text("start,end,step\n1,2,core\n", encoding="utf-8")
    assert annotate("tags", out / "case.jsonld", "--add", tmp_path / "more.csv").status == 0
    before = contents(out)
    for _ in range(2):
        again = annotate("demo", "--out", out)
        assert again.status == 0, again.err
        assert f"wrote everything to {second}" in again.err
        assert f"{out} contains files that were added or changed" in again.err
    assert contents(out) == before
    assert not (tmp_path / "demo-3").exists()


def test_the_demo_leaves_a_case_alone_that_is_open(annotate: Annotate, tmp_path: Path) -> None:
    assert annotate("demo", "--out", tmp_path / "demo").status == 0
    with Session.open(tmp_path / "demo" / "case.jsonld"):
        assert f"wrote everything to {tmp_path / 'demo-2'}" in annotate("demo", "--out", tmp_path / "demo").err


@pytest.mark.parametrize("name", ["case.jsonld", "chapters.vtt", "recording-with-chapters.mp4", "durations.xlsx"])
def test_the_demo_leaves_what_somebody_made_alone(
    annotate: Annotate, video: Path, work: Path, name: str, tmp_path: Path
) -> None:
    out = tmp_path / "demo"
    out.mkdir()
    shutil.copy(video if name.endswith("mp4") else work / "c.case.jsonld", out / name)
    before = contents(out)
    assert f"wrote everything to {tmp_path / 'demo-2'}" in annotate("demo", "--out", out).err
    assert contents(out) == before


def test_the_demo_writes_into_the_folder_that_one_stands_in(
    annotate: Annotate, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    assert annotate("demo", "--out", ".").status == 0
    (tmp_path / "here" / "case.jsonld").write_text("{}", encoding="utf-8")
    assert f"wrote everything to {tmp_path / 'here-2'}" in annotate("demo", "--out", ".").err


@pytest.mark.parametrize(
    ("verb", "name", "words"),
    [
        ("durations", "d.docx", "ends in “.csv”, “.json”, “.xlsx”, “.html” or “.txt”"),
        ("durations", "d", "ends in “.csv”, “.json”, “.xlsx”, “.html” or “.txt”"),
        ("chapters", "c.srt", "a chapter file needs a name that ends in .vtt"),
        ("chapters", "c", "a chapter file needs a name that ends in .vtt"),
    ],
)
def test_a_result_is_called_as_what_it_is(annotate: Annotate, work: Path, verb: str, name: str, words: str) -> None:
    before = contents(work)
    refused = annotate(verb, work / "c.case.jsonld", "--out", work / name)
    assert (refused.status, words in refused.err) == (2, True), refused.err
    assert contents(work) == before
    for ending in ("csv", "json", "xlsx", "html", "txt"):
        assert annotate("durations", work / "c.case.jsonld", "--out", work / f"durations.{ending}").status == 0
