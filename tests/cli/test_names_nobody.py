"""Names of recordings and of case files, and what a recording says of itself, stand in nothing that is published."""

import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from annotator.model.case import UNTITLED
from annotator.store.session import Session
from tests.cli.conftest import Annotate, make_video

NAME = "QUILLON_Tabitha_MRN99173"
WORDS = ("quillon", "tabitha", "99173", "+48.1", "2026-01-02")


@pytest.fixture
def named(annotate: Annotate, tmp_path: Path) -> Path:
    """A case whose files are called after somebody, as they come from a recorder."""
    told = [
        *("-metadata", f"title={NAME}", "-metadata", "location=+48.1+011.5/", "-metadata:s:v", f"title={NAME}"),
        *("-metadata", "creation_time=2026-01-02T03:04:05Z"),
    ]
    video = make_video(tmp_path / f"{NAME}.mp4", 6, "25", *told)
    case = tmp_path / f"{NAME}.case.jsonld"
    assert annotate("new", video, "--out", case).status == 0
    (tmp_path / "steps.csv").write_text("start,end,step\n0,2,ports\n2,4,core\n4,5,delamination\n", encoding="utf-8")
    assert annotate("tags", case, "--add", tmp_path / "steps.csv").status == 0
    return case


def parts_of(path: Path) -> Iterator[bytes]:
    """All that a file holds; of a workbook also what is packed in it."""
    yield path.read_bytes()
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as packed:
            yield from (packed.read(name) for name in packed.namelist())


def test_a_new_case_is_untitled(annotate: Annotate, named: Path) -> None:
    with Session.open(named, writable=False) as session:
        assert session.case.title == UNTITLED
    other = named.with_name("other.case.jsonld")
    assert annotate("new", named.with_name(f"{NAME}.mp4"), "--title", "", "--out", other).status == 0
    with Session.open(other, writable=False) as session:
        assert session.case.title == UNTITLED


def test_no_output_names_anybody(annotate: Annotate, named: Path, tmp_path: Path) -> None:
    away = tmp_path / "away"
    away.mkdir()
    outs = [
        *(("durations", "--format", form, "--out", f"d.{form}") for form in ("csv", "json", "xlsx", "html")),
        *(("embed", "--out", f"e{ending}") for ending in (".mp4", ".mov", ".mkv")),
        *(("share", "--out", "share"), ("share", "--out", "encoded", "--mp4"), ("chapters", "--out", "c.vtt")),
        *(
            ("chapters", "--out", "n.vtt", "--nested"),
            ("clips", "--out", "clips"),
            ("clips", "--out", "copies", "--copy"),
        ),
        *(("clips", "--out", "stills", "--stills"), ("clips", "--out", "stills", "--jpeg")),
    ]
    for verb, *rest in outs:
        done = annotate(verb, named, *[str(away / one) if before == "--out" else one for before, one in pairs(rest)])
        assert done.status == 0, done.err
    files = [path for path in away.rglob("*") if path.is_file()]
    assert len(files) >= 30
    for path in files:
        assert not [word for word in WORDS if word in str(path.relative_to(away)).lower()]
        for data in parts_of(path):
            assert not [word for word in WORDS if word.encode() in data.lower()], path


def pairs(words: list[str]) -> Iterator[tuple[str, str]]:
    """Each word with the one before it."""
    return zip(["", *words], words, strict=False)


def test_what_is_left_out_is_told_by_name_and_not_by_value(annotate: Annotate, named: Path, tmp_path: Path) -> None:
    told = annotate("embed", named, "--out", tmp_path / "e.mp4").err
    assert f"left out of the copy of “{NAME}.mp4”: creation_time, location" in told
    assert "+48.1" not in told
    kept = tmp_path / "kept.mp4"
    assert "left out" not in annotate("embed", named, "--out", kept, "--keep-tags").err
    assert NAME.encode() in kept.read_bytes()


def test_a_full_drive_is_told_in_units_that_fit(
    annotate: Annotate, named: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import shutil

    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda _folder: usage._replace(free=1_000_000))
    refused = annotate("embed", named, "--out", tmp_path / "e.mp4")
    assert refused.status == 2
    assert "0.0 GB" not in refused.err
    assert "MB more than is free there; free some space, or name a file on another drive" in refused.err
