"""Where a disk is full, a command that reports a failure has left the case as it was."""

import errno
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from annotator.workflow.sample import create_sample
from tests.cli.conftest import Annotate, tags_in
from tests.running import surroundings
from tests.store.failing_disk import FailingDisk
from tests.store.small_disk import fill, small_disk


def said_of(annotate: Annotate, case: Path) -> list[str]:
    return [tag["notation"] for tag in tags_in(annotate, case)]


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
def test_whenever_the_disk_fails_the_status_tells_whether_tags_were_added(
    annotate: Annotate, case: Path, tmp_path: Path, lasting: bool
) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step\n1,2,air\n", encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    whole = case.read_bytes()
    statuses = []
    for fails in range(1, 80):
        case.write_bytes(whole)
        rows.write_text("start,end,step\n3,4,gas\n", encoding="utf-8")
        with FailingDisk(fails, errno.ENOSPC, lasting) as disk:
            told = annotate("tags", case, "--add", rows)
        statuses.append(told.status)
        assert said_of(annotate, case) == (["air", "gas"] if told.status == 0 else ["air"]), told.err
        if told.status == 0 and disk.has_failed and "gas" not in case.read_text(encoding="utf-8"):
            assert "the change is safe beside the case" in told.err
            assert "the disk is full" in told.err
        if told.status:
            assert told.status == 2
            assert "the disk is full" in told.err
        if not disk.has_failed:
            break
        for left in case.parent.glob(f".{case.name}.*"):
            left.unlink()
    assert {0, 2} == set(statuses)


LIMITED = """
import resource, sys
from annotator.cli import run
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), int(sys.argv[1])))
sys.argv = ["annotator", *sys.argv[2:]]
run()
"""


def limited(folder: Path, limit: int, *arguments: str) -> "subprocess.CompletedProcess[str]":
    """A command that may write no file longer than `limit`, in bytes."""
    command = [sys.executable, "-c", LIMITED, str(limit), *arguments]
    return subprocess.run(
        command, cwd=folder, env=surroundings(folder.parent), capture_output=True, text=True, check=False
    )


@pytest.mark.skipif(sys.platform == "win32", reason="sets a limit that Windows does not have")
@pytest.mark.parametrize(
    ("limit", "arguments", "says"),
    [
        (
            5_000,
            ("embed", "--out", "out.mp4"),
            "“out.mp4” cannot be written: the file would be larger than this disk allows",
        ),
        (5_000, ("share", "--mp4", "--out", "out"), "“recording.mp4” cannot be written: the file would be larger"),
        (0, ("clips", "--copy", "--out", "out"), "There is no space in the system's folder for temporary files"),
    ],
)
def test_where_a_system_allows_no_such_file_that_is_said(
    annotate: Annotate, case: Path, tmp_path: Path, limit: int, arguments: tuple[str, ...], says: str
) -> None:
    """FFmpeg is ended then, without a word; so it is where memory is short."""
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step\n1,12,core vitrectomy\n", encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    before = set(tmp_path.iterdir())
    verb, *more = arguments
    told = limited(tmp_path, limit, verb, case.name, *more)
    assert told.returncode == 2
    assert says in told.stderr
    assert set(tmp_path.iterdir()) == before


@pytest.mark.skipif(sys.platform == "win32", reason="sets a limit that Windows does not have")
def test_without_room_for_temporary_files_a_demo_is_left_as_it_is(tmp_path: Path) -> None:
    """Whether it was changed can't be told then; nor can another be written, and that is what is said."""
    create_sample(tmp_path / "demo" / "case.jsonld").close()
    before = {path: path.read_bytes() for path in (tmp_path / "demo").iterdir()}
    told = limited(tmp_path, 0, "demo", "--out", "demo")
    assert told.returncode == 2, told.stderr
    assert "can't be written: the file would be larger than this disk allows" in told.stderr
    assert {path: path.read_bytes() for path in (tmp_path / "demo").iterdir()} == before


def test_a_folder_for_the_demo_that_cannot_be_made_is_said(annotate: Annotate, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    told = annotate("demo", "--out", tmp_path / "file" / "demo")
    assert told.status == 2
    assert "part of the path is a file, not a folder; choose another place" in told.err


@pytest.fixture
def small(tmp_path: Path) -> Iterator[Path]:
    """A disk with little room."""
    with small_disk(tmp_path / "small", "1m") as folder:
        yield folder


def test_a_case_on_a_disk_that_fills_up(annotate: Annotate, case: Path, small: Path) -> None:
    """Of a journal's page there is room, of another case file there is none."""
    cramped = small / case.name
    cramped.write_bytes(re.sub(rb'"path": ?"[^"]*"', b'"path":"away.mp4"', case.read_bytes()))
    rows = case.with_name("steps.csv")
    rows.write_text("start,end,step\n1,2,air\n", encoding="utf-8")
    filled = fill(small, 4096).stat().st_size
    seen = set()
    for pages in range(40):
        with (small / "filler").open("r+b") as filler:
            filler.truncate(filled - pages * 4096)
        told = annotate("tags", cramped, "--add", rows)
        tags = said_of(annotate, cramped)
        assert tags == (["air"] if told.status == 0 else []), told.err
        seen.add((told.status, "safe beside the case" in told.err))
        if seen >= {(2, False), (0, True)}:
            break
        assert not tags, "it had room for all at once"
    assert seen == {(2, False), (0, True)}
    (small / "filler").unlink()
    assert "1 of 1 tags is in the case already" in annotate("tags", cramped, "--add", rows).err
    assert b"classifying" in cramped.read_bytes()
    assert sorted(path.name for path in small.iterdir()) == [case.name, f"{case.name}.previous"]
