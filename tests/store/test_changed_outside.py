"""Another program changes what belongs to an open case: that is noticed, and nothing of either side is lost."""

import errno
import json
import shutil
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from annotator.errors import CaseBusy, ChangedOutside, NotSaved, StoreError
from annotator.formats.case import casefile
from annotator.store import known_file
from annotator.store.atomic import write_beside
from annotator.store.reading import journal_path
from annotator.store.session import Session
from tests.store.failing_disk import FailingDisk
from tests.store.on_disk import (
    NAME,
    adding,
    after_a_kill,
    as_a_kill_would_leave_it,
    files_in,
    new_case,
    numbers,
    read,
)
from tests.store.test_two_processes import other_process

OTHER = casefile.dumps(new_case(2), 7)
"""Another case, of another program."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with Session.create(tmp_path / NAME, new_case()) as session:
        session.do(adding(1))
    return tmp_path / NAME


def edited(path: Path) -> bytes:
    """The same case, changed by hand or by a program that knows the form."""
    document = json.loads(path.read_bytes())
    document["label"] = "Changed elsewhere"
    return json.dumps(document).encode()


def copy_of(path: Path, whose: str, number: int = 1) -> Path:
    return path.with_name(f"model-eye-{whose}-{number}.case.jsonld")


@pytest.mark.parametrize("kind", ["edited", "another case", "older", "no case at all"])
def test_a_file_that_another_program_changed_is_not_written_over(path: Path, kind: str) -> None:
    contents = {
        "edited": edited(path),
        "another case": OTHER,
        "older": path.with_name(f"{NAME}.previous").read_bytes(),
        "no case at all": b"{}",
    }
    with Session.open(path) as session:
        session.do(adding(2))
        path.write_bytes(contents[kind])
        with pytest.raises(ChangedOutside, match="was changed by another program while it was open here") as caught:
            session.save()
        assert not caught.value.is_gone
        assert path.read_bytes() == contents[kind]
        session.do(adding(3))
        with pytest.raises(ChangedOutside):
            session.save()
        copy = session.keep_mine()
        assert copy == copy_of(path, "other")
        assert copy.read_bytes() == contents[kind]
        assert numbers(read(path)) == [1, 2, 3]
        session.do(adding(4))
    assert numbers(read(path)) == [1, 2, 3, 4]


def test_a_file_that_was_only_touched_or_written_again_as_it_was_is_no_other(path: Path) -> None:
    with Session.open(path) as session:
        session.do(adding(2))
        same = path.read_bytes()
        path.unlink()
        path.write_bytes(same)
    assert numbers(read(path)) == [1, 2]


def test_giving_way_keeps_both(path: Path) -> None:
    session = Session.open(path)
    session.do(adding(2))
    path.write_bytes(OTHER)
    copy = session.give_way()
    assert copy == copy_of(path, "mine")
    assert numbers(read(copy)) == [1, 2]
    assert path.read_bytes() == OTHER
    with Session.open(path) as other:
        assert (other.case.id, other.warnings) == (new_case(2).id, ())


def test_closing_keeps_both_and_says_where(path: Path) -> None:
    """So does the command line, which can ask nobody."""
    session = Session.open(path)
    session.do(adding(2))
    path.write_bytes(OTHER)
    with pytest.raises(StoreError, match="was changed by another program") as caught:
        session.close()
    assert str(copy_of(path, "mine")) in str(caught.value)
    assert numbers(read(copy_of(path, "mine"))) == [1, 2]
    assert path.read_bytes() == OTHER
    assert [name for name in files_in(path.parent) if name.startswith(".")] == []


def test_closing_without_a_change_leaves_everything_to_the_other(path: Path) -> None:
    with Session.open(path):
        path.write_bytes(OTHER)
    assert path.read_bytes() == OTHER
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]


def test_a_case_without_a_change_of_its_own_is_looked_at_too(path: Path) -> None:
    """What is on screen, and would be published, is not what is in the file any more."""
    with Session.open(path) as session:
        session.look()
        before = path.read_bytes()
        path.write_bytes(OTHER)
        for look in (session.look, session.save):
            with pytest.raises(ChangedOutside):
                look()
        path.write_bytes(before)
        session.look()
        path.write_bytes(OTHER)
        assert session.keep_mine() == copy_of(path, "other")
        assert numbers(read(path)) == [1]
        session.look()


def test_a_file_that_was_deleted_is_not_made_again_unasked(path: Path) -> None:
    with Session.open(path) as session:
        session.do(adding(2))
        path.unlink()
        with pytest.raises(ChangedOutside, match="is gone: it was deleted, moved or renamed") as caught:
            session.save()
        assert caught.value.is_gone
        assert not path.exists()
        assert session.keep_mine() is None
    assert numbers(read(path)) == [1, 2]


def test_a_folder_that_was_moved_takes_its_changes_with_it(path: Path) -> None:
    session = Session.open(path)
    session.do(adding(2))
    moved = path.parent.rename(path.parent.with_name("moved"))
    with pytest.raises(ChangedOutside) as caught:
        session.do(adding(3))
    assert caught.value.is_gone
    with pytest.raises(StoreError):
        session.close()
    assert not path.parent.exists()
    assert numbers(read(moved / NAME)) == [1, 2]
    with Session.open(moved / NAME) as again:
        assert (again.recovered, again.warnings) == (1, ())
    assert files_in(moved) == [NAME, f"{NAME}.previous"]


def test_a_folder_in_the_file_s_place_is_left_there(path: Path) -> None:
    session = Session.open(path)
    session.do(adding(2))
    path.unlink()
    path.mkdir()
    with pytest.raises(ChangedOutside):
        session.save()
    with pytest.raises(ChangedOutside):
        session.keep_mine()
    assert numbers(read(session.give_way())) == [1, 2]
    assert path.is_dir()


def test_what_comes_while_the_disk_is_waited_for_is_seen_too(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between reading the old file and putting the new one in its place lie two waits for the disk."""

    def and_changed(target: Path, data: bytes, last_look: Callable[[], None] = lambda: None) -> None:
        write_beside(target, data, last_look)
        if target != path:
            path.write_bytes(OTHER)

    with Session.open(path) as session:
        session.do(adding(2))
        monkeypatch.setattr(known_file, "write_beside", and_changed)
        with pytest.raises(ChangedOutside):
            session.save()
        monkeypatch.undo()
        assert path.read_bytes() == OTHER
        session.keep_mine()


@pytest.mark.parametrize("keep", [Session.keep_mine, Session.give_way])
def test_a_disk_that_fails_on_the_way_loses_neither(path: Path, keep: Callable[[Session], object]) -> None:
    for fails in range(1, 60):
        shutil.rmtree(path.parent)
        path.parent.mkdir()
        session = Session.create(path, new_case())
        session.do(adding(2))
        path.write_bytes(OTHER)
        with FailingDisk(fails, errno.ENOSPC, lasting=True) as disk:
            try:
                keep(session)
            except StoreError:
                assert disk.has_failed
        files = [one for one in path.parent.iterdir() if one.is_file()]
        assert any(one.read_bytes() == OTHER for one in files), "what the other program wrote"
        assert any(b"urn:tag:0002" in one.read_bytes() for one in files), "what was done here"
        session.let_go()
        if not disk.has_failed:
            return
    raise AssertionError("it never ran through")


def test_a_file_that_comes_while_a_case_is_created_there_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / NAME

    def after_another(target: Path, data: bytes, last_look: Callable[[], None] = lambda: None) -> None:
        target.write_bytes(OTHER)
        write_beside(target, data, last_look)

    monkeypatch.setattr(known_file, "write_beside", after_another)
    with pytest.raises(ChangedOutside):
        Session.create(path, new_case())
    assert path.read_bytes() == OTHER
    assert files_in(tmp_path) == [NAME]


@pytest.mark.parametrize(
    ("name", "copy"),
    [
        ("model-eye.case.jsonld", "model-eye-mine-1.case.jsonld"),
        ("Dr. No. 2.CASE.jsonld", "Dr. No. 2-mine-1.CASE.jsonld"),
        ("c.jsonld", "c-mine-1.jsonld"),
        (".hidden", ".hidden-mine-1"),
    ],
)
def test_a_copy_can_be_opened_by_its_name_like_any_case(tmp_path: Path, name: str, copy: str) -> None:
    session = Session.create(tmp_path / name, new_case())
    session.do(adding(1))
    (tmp_path / name).write_bytes(OTHER)
    assert session.give_way() == tmp_path / copy
    assert numbers(read(tmp_path / copy)) == [1]


# --- the journal ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["deleted", "emptied", "garbled", "another's"])
def test_a_journal_that_another_program_changed_is_written_anew(path: Path, how: str) -> None:
    file = journal_path(path)
    with Session.open(path) as session:
        session.do(adding(2))
        ours = file.read_bytes()
        if how == "deleted":
            file.unlink()
        else:
            file.write_bytes({"emptied": b"", "garbled": ours[:-9] + b"12345678\n", "another's": ours + ours}[how])
        change = session.do(adding(3))
        assert "another program had changed the journal; it was written again" in change.says
        assert after_a_kill(path) == session.case
        assert numbers(session.case) == [1, 2, 3]
        session.do(adding(4))
        assert after_a_kill(path) == session.case
    kept = path.with_name(f"{NAME}.stray-changes-1")
    assert kept.exists() == (how in ("garbled", "another's"))
    assert numbers(read(path)) == [1, 2, 3, 4]


def test_a_disk_that_fails_for_a_moment_loses_nothing_of_what_another_program_put_into_the_journal(path: Path) -> None:
    for fails in range(1, 40):
        with Session.open(path) as session:
            session.do(adding(2))
            theirs = journal_path(path).read_bytes() * 2
            journal_path(path).write_bytes(theirs)
            with FailingDisk(fails, errno.EIO) as disk, suppress(StoreError):
                session.do(adding(3))
            there = [journal_path(path), *path.parent.glob("*.stray-changes-*")]
            assert theirs in [file.read_bytes() for file in there]
            session.undo()
        for file in path.parent.glob("*.stray-changes-*"):
            file.unlink()
        if not disk.has_failed:
            return
    raise AssertionError("it never ran through")


def test_a_disk_that_fails_while_the_journal_is_written_anew_loses_nothing_acknowledged(path: Path) -> None:
    for fails in range(1, 40):
        with Session.open(path) as session:
            session.do(adding(2))
            journal_path(path).write_bytes(journal_path(path).read_bytes() * 2)
            with FailingDisk(fails, errno.ENOSPC, lasting=True) as disk:
                try:
                    session.do(adding(3))
                except StoreError as error:
                    assert str(error).startswith("Nothing was changed; ")
            if disk.has_failed:
                session.do(adding(3))
            assert after_a_kill(path) == session.case
            session.undo()
            session.undo()
        if not disk.has_failed:
            return
    raise AssertionError("it never ran through")


def test_what_is_nowhere_but_in_memory_is_kept_in_a_copy_when_the_case_is_closed(path: Path) -> None:
    """A folder in the journal's place: neither can be saved, nor is what was done in a journal any more."""
    session = Session.open(path)
    session.do(adding(2))
    journal_path(path).unlink()
    journal_path(path).mkdir()
    with pytest.raises(StoreError, match="is a folder, a pipe or a device") as caught:
        session.save()
    assert not isinstance(caught.value, NotSaved), "that would say that the journal has it"
    with pytest.raises(StoreError, match="your version is saved as") as caught:
        session.close()
    assert not isinstance(caught.value, NotSaved)
    assert numbers(read(copy_of(path, "mine"))) == [1, 2]


def test_a_save_over_another_s_version_that_the_disk_refuses_does_not_count_as_kept(path: Path) -> None:
    """The journal goes on from a file that is no longer there."""
    session = Session.open(path)
    session.do(adding(2))
    path.write_bytes(OTHER)
    with pytest.raises(ChangedOutside):
        session.save()
    with (
        FailingDisk(8, errno.ENOSPC, lasting=True),
        pytest.raises(StoreError, match="The case was not saved; ") as caught,
    ):
        session.keep_mine()
    assert not isinstance(caught.value, NotSaved)
    assert copy_of(path, "other").read_bytes() == OTHER
    session.close()
    assert numbers(read(path)) == [1, 2]


def test_a_journal_that_was_only_touched_is_gone_on_with(path: Path) -> None:
    file = journal_path(path)
    with Session.open(path) as session:
        session.do(adding(2))
        same = file.read_bytes()
        file.unlink()
        file.write_bytes(same)
        assert "journal" not in session.do(adding(3)).says
        assert after_a_kill(path) == session.case
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]


# --- the lock -------------------------------------------------------------------------------------------------


def take_lock_away(path: Path) -> None:
    for ending in ("lock", "holder"):
        path.with_name(f".{NAME}.{ending}").unlink()


def test_a_lock_that_was_taken_away_is_taken_again(path: Path) -> None:
    with Session.open(path) as session:
        take_lock_away(path)
        session.do(adding(2))
        with pytest.raises(CaseBusy):
            Session.open(path)
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]


def test_who_has_lost_the_case_to_another_process_changes_nothing_more(path: Path) -> None:
    session = Session.open(path)
    session.do(adding(2))
    take_lock_away(path)
    with other_process(path) as other:
        with pytest.raises(CaseBusy) as caught:
            session.do(adding(3))
        assert f"process {other.process.pid}" in caught.value.holder
        other.does(4)
        with pytest.raises(CaseBusy):
            session.save()
        session.let_go()
        other.does(5)
        with as_a_kill_would_leave_it(path) as left:
            assert numbers(read(left)) == [1, 2, 4, 5]
        other.closes()
    assert numbers(read(path)) == [1, 2, 4, 5]


def test_a_case_that_comes_back_from_another_process_is_not_the_one_that_was_known(path: Path) -> None:
    session = Session.open(path)
    session.do(adding(2))
    take_lock_away(path)
    with other_process(path) as other:
        other.does(4)
        other.closes()
    session.do(adding(3))
    with pytest.raises(ChangedOutside):
        session.save()
    assert numbers(read(session.give_way())) == [1, 2, 3]
    assert numbers(read(path)) == [1, 2, 4]
