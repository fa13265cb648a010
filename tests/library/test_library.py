"""The index follows the folder: what changed is read, what can't be read is said, and nothing there is written."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from annotator.errors import Cancelled, StoreError
from annotator.library import refresh, schema
from annotator.library.library import Library, index_path, opened
from annotator.media.cache.cache_files import make_room, used_bytes
from annotator.model import edits
from annotator.store.files import facts_of
from annotator.store.reading import OnDisk, read_case
from annotator.store.session import Session
from tests.library.cases import put
from tests.measure.cases import tag
from tests.running import PATIENCE
from tests.store.small_disk import fill, small_disk


def names(folder: Path) -> list[str]:
    with opened(folder) as library:
        return [case.name for case in library.cases.values()]


def tags_of(library: Library) -> list[int]:
    return [start for (start,) in library.index.execute("SELECT start FROM tags ORDER BY start")]


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that are read, as they are."""
    names: list[str] = []

    def noted(path: Path) -> OnDisk:
        names.append(path.name)
        return read_case(path)

    monkeypatch.setattr(refresh, "read_case", noted)
    return names


def test_only_what_changed_is_read_again(folder: Path, read: list[str]) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    put(folder, "deeper/b", tag("core", 0, 1_000))
    assert names(folder) == ["a.case.jsonld", "deeper/b.case.jsonld"]
    assert names(folder) == ["a.case.jsonld", "deeper/b.case.jsonld"]
    assert read == ["a.case.jsonld", "b.case.jsonld"]
    put(folder, "a", tag("core", 5_000, 6_000))
    with opened(folder) as library:
        assert tags_of(library) == [0, 5_000]
    assert read == ["a.case.jsonld", "b.case.jsonld", "a.case.jsonld"]
    (folder / "a.case.jsonld").unlink()
    assert names(folder) == ["deeper/b.case.jsonld"]


def test_changes_in_a_journal_count(folder: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    assert names(folder) == ["a.case.jsonld"]
    with Session.open(folder / "a.case.jsonld") as session:
        session.do(lambda case: edits.add(case, [tag("shave", 7_000, 8_000)]))
        with opened(folder) as library:
            assert tags_of(library) == [0, 7_000]


def test_a_damaged_case_is_named_and_the_others_are_there(folder: Path, read: list[str]) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    whole = (folder / "a.case.jsonld").read_bytes()
    (folder / "damaged.case.jsonld").write_bytes(whole[:400])
    (folder / "newer.case.jsonld").write_bytes(whole.replace(b'"schemaVersion": ', b'"schemaVersion": 9'))
    for _ in range(2):  # also from the index
        with opened(folder) as library:
            assert [case.name for case in library.cases.values()] == ["a.case.jsonld"]
            assert [says.split()[0].rstrip(":") for says in library.left_out] == [
                "damaged.case.jsonld",
                "newer.case.jsonld",
            ]
    assert len(read) == 3


def test_other_files_and_what_lies_behind_links_is_not_of_the_library(folder: Path, tmp_path: Path) -> None:
    put(tmp_path, "elsewhere", tag("core", 0, 1_000))
    put(folder, "a", tag("core", 0, 1_000))
    put(folder, ".hidden/b", tag("core", 0, 1_000))
    (folder / "notes.json").write_text('{"schemaName": "of another program"}')
    (folder / "up").symlink_to(folder, target_is_directory=True)
    (folder / "out").symlink_to(tmp_path, target_is_directory=True)
    (folder / "link.case.jsonld").symlink_to(tmp_path / "elsewhere.case.jsonld")
    if hasattr(os, "mkfifo"):
        os.mkfifo(folder / "pipe.case.jsonld")
    with opened(folder) as library:
        assert [case.name for case in library.cases.values()] == ["a.case.jsonld"]
        assert library.left_out == ()


def test_a_case_under_any_name_counts_if_it_says_that_it_is_one(folder: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    (folder / "a.case.jsonld").rename(folder / "case.jsonld")
    assert names(folder) == ["case.jsonld"]


def test_a_copy_of_a_case_does_not_count_again_and_the_later_one_does(folder: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000), revision=1)
    put(folder, "b", tag("core", 0, 1_000), tag("core", 5_000, 6_000), revision=2, id="urn:test:a")
    with opened(folder) as library:
        assert [case.name for case in library.cases.values()] == ["b.case.jsonld"]
        assert library.left_out == ("a.case.jsonld is a copy of b.case.jsonld, which counts",)


def test_what_a_second_person_tagged_blind_does_not_count_the_operation_again(folder: Path) -> None:
    put(folder, "b", tag("core", 0, 1_000))
    put(folder, "a", tag("core", 0, 900), blind_to="urn:test:b")
    put(folder, "c", tag("core", 0, 1_000), blind_to="urn:test:elsewhere")
    with opened(folder) as library:
        assert [case.name for case in library.cases.values()] == ["b.case.jsonld", "c.case.jsonld"]
        assert library.left_out == ("a.case.jsonld is a second person’s tags of b.case.jsonld, which counts",)


def test_a_file_that_is_too_large_is_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    monkeypatch.setattr(refresh, "LARGEST", 1_000)
    assert (folder / "a.case.jsonld").stat().st_size > refresh.LARGEST
    with opened(folder) as library:
        assert library.cases == {}
        assert "a.case.jsonld is larger than" in library.left_out[0]


def test_nothing_in_the_folder_is_written(folder: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    before = {path: facts_of(path) for path in folder.rglob("*")}
    names(folder)
    assert {path: facts_of(path) for path in folder.rglob("*")} == before


def test_work_that_is_stopped_keeps_what_was_read(
    folder: Path, read: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(4):
        put(folder, f"{number}", tag("core", 0, 1_000))
    monkeypatch.setattr(refresh, "_AT_ONCE", 1)

    def stops(done: float, _total: float) -> None:
        if done == 2:
            raise Cancelled

    with pytest.raises(Cancelled), opened(folder, stops):
        pass
    assert read == ["0.case.jsonld", "1.case.jsonld"]
    assert len(names(folder)) == 4
    assert len(read) == 4


def cut(path: Path) -> None:
    """As a disk leaves it that lost a part."""
    data = bytearray(path.read_bytes())
    data[4_096:] = b"\x5a" * (len(data) - 4_096)
    path.write_bytes(data)


@pytest.mark.parametrize("ruin", [lambda path: path.write_bytes(b"no index" * 500), cut])
def test_a_damaged_index_is_made_anew(folder: Path, cache: Path, ruin: object) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    names(folder)
    assert callable(ruin)
    ruin(index_path(folder, cache))
    with opened(folder) as library:
        assert tags_of(library) == [0]
        assert library.left_out == ()


def test_an_index_of_another_version_is_made_anew(folder: Path, cache: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    names(folder)
    with sqlite3.connect(index_path(folder, cache)) as index:
        index.execute("DROP TABLE settled")
        index.execute("CREATE TABLE of_another_version (id)")
        index.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    index.close()
    with opened(folder) as library:
        assert tags_of(library) == [0]
        there = {name for (name,) in library.index.execute("SELECT name FROM sqlite_master")}
        assert "settled" in there
        assert "of_another_version" not in there


def test_emptying_the_cache_takes_the_index_too(folder: Path, cache: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    names(folder)
    assert used_bytes(cache) == index_path(folder, cache).stat().st_size
    make_room(cache, 0)
    assert not index_path(folder, cache).exists()
    assert names(folder) == ["a.case.jsonld"]


def test_without_a_place_for_the_index_it_works_and_says_so(folder: Path, tmp_path: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    (tmp_path / "file").write_bytes(b"")
    with opened(folder, kept_in=tmp_path / "file") as library:
        assert tags_of(library) == [0]
        assert "can't be kept" in library.left_out[0]


@pytest.mark.parametrize("name", ["nowhere", "file"])
def test_what_is_no_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreError, match=r"is a file|is not there"), opened(tmp_path / name):
        pass


_OPENS = """
import sys
from pathlib import Path
from annotator.library.library import opened
with opened(Path(sys.argv[1])) as library:
    print(len(library.cases), library.left_out)
"""


def test_several_processes_index_one_folder_at_once(folder: Path) -> None:
    for number in range(30):
        put(folder, f"{number}", tag("core", 0, 1_000))
    command = [sys.executable, "-c", _OPENS, str(folder)]
    ran = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) for _ in range(3)]
    assert [one.communicate(timeout=PATIENCE)[0] for one in ran] == ["30 ()\n"] * 3
    with opened(folder) as library:
        assert tags_of(library) == [0] * 30


def test_a_kill_within_a_write_leaves_a_sound_index(folder: Path, cache: Path) -> None:
    """As SQLite leaves it: some rows of a transaction are in the file, and its journal is beside it."""
    put(folder, "a", tag("core", 0, 1_000))
    names(folder)
    put(folder, "b", tag("core", 5_000, 6_000))
    killed = """
import os, sys
from pathlib import Path
from annotator.library import entries
from annotator.library.library import opened
put = entries.Writer.put
def put_and_die(writer, *args):
    put(writer, *args)
    writer._index.execute("PRAGMA cache_size = 0")
    writer._index.execute("PRAGMA cache_spill = 1")
    os._exit(9)
entries.Writer.put = put_and_die
with opened(Path(sys.argv[1])):
    pass
"""
    assert subprocess.run([sys.executable, "-c", killed, str(folder)], check=False).returncode == 9
    with opened(folder) as library:
        assert tags_of(library) == [0, 5_000]
        assert library.left_out == ()
        assert library.index.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_a_full_disk_in_the_cache_costs_time_and_nothing_else(folder: Path, tmp_path: Path) -> None:
    for number in range(20):
        put(folder, f"{number}", tag("core", 0, 1_000))
    with small_disk(tmp_path / "small", "64k") as kept_in, opened(folder, kept_in=kept_in) as library:
        assert tags_of(library) == [0] * 20
        assert "full" in library.left_out[0]


def test_a_disk_that_fills_later_keeps_the_index_as_it_was(folder: Path, tmp_path: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    with small_disk(tmp_path / "small", "400k") as kept_in:
        with opened(folder, kept_in=kept_in) as library:
            assert library.left_out == ()
        filler = fill(kept_in, 4_096)
        for number in range(20):
            put(folder, f"{number}", *(tag("core", at * 1_000, at * 1_000 + 500) for at in range(90)))
        with opened(folder, kept_in=kept_in) as library:
            assert len(library.cases) == 21
            assert "full" in library.left_out[0]
        filler.unlink()
        with opened(folder, kept_in=kept_in) as library:
            assert len(library.cases) == 21
            assert library.left_out == ()
