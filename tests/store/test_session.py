"""The one gate for changes: what it keeps, tells, refuses and leaves behind."""

import errno
import os
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import CaseBusy, InvalidEdit, InvalidFile, NewerSchema, StoreError
from annotator.formats.case import casefile
from annotator.formats.case.upgrades import VERSION
from annotator.model import edits
from annotator.model.case import Case
from annotator.model.delta import applied
from annotator.model.recording import Recording
from annotator.store import session as session_module
from annotator.store.reading import journal_path
from annotator.store.session import Change, Session
from tests.store.failing_disk import FailingDisk
from tests.store.on_disk import (
    NAME,
    adding,
    after_a_kill,
    as_a_kill_would_leave_it,
    at_noon,
    files_in,
    new_case,
    new_tag,
    noting,
    numbers,
    read,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / NAME


# --- creating, opening, closing ------------------------------------------------------------------------------


def test_a_new_case_is_a_file_at_once(path: Path) -> None:
    with Session.create(path, new_case()) as session:
        assert read(path) == session.case == new_case()
        assert not session.read_only
    assert files_in(path.parent) == [NAME]


def test_a_case_is_not_written_over_unless_told(path: Path) -> None:
    Session.create(path, new_case(1)).close()
    with pytest.raises(StoreError, match="already exists; choose another name"):
        Session.create(path, new_case(2))
    assert read(path) == new_case(1)
    assert files_in(path.parent) == [NAME]
    Session.create(path, new_case(2), overwrite=True).close()
    assert read(path) == new_case(2)
    assert read(path.with_name(f"{NAME}.previous")) == new_case(1)


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS])
def test_a_case_that_can_t_be_created_leaves_nothing(path: Path, code: int) -> None:
    for fails in range(1, 40):
        with FailingDisk(fails, code, lasting=True) as disk:
            try:
                Session.create(path, new_case()).close()
            except StoreError as error:
                assert NAME in str(error)
            else:
                assert not disk.has_failed
                return
        assert files_in(path.parent) == []
    raise AssertionError("it never ran through")


def test_where_there_is_no_folder_nothing_is_made(path: Path) -> None:
    with pytest.raises(StoreError, match=r"There is no folder .*nowhere; make it first"):
        Session.create(path.parent / "nowhere" / NAME, new_case())
    with pytest.raises(StoreError, match="There is no folder"):
        Session.open(path.parent / "nowhere" / NAME)
    assert files_in(path.parent) == []


@pytest.mark.parametrize("writable", [True, False])
def test_a_case_that_is_not_there_is_not_opened(path: Path, writable: bool) -> None:
    with pytest.raises(StoreError, match="There is no file"):
        Session.open(path, writable)
    assert files_in(path.parent) == []


@pytest.mark.parametrize(
    "spoil",
    [
        lambda case: replace(case, recordings=()),
        lambda case: replace(case, id="no iri"),
        lambda case: replace(case, title="\ud800"),
        lambda case: replace(case, extra={"x": {1, 2}}),
        lambda case: replace(case, tags=(new_tag(2), new_tag(1))),
        lambda case: replace(case, tags=(new_tag(1), new_tag(1))),
    ],
)
def test_a_case_that_could_not_be_read_back_is_not_written(path: Path, spoil: object) -> None:
    with pytest.raises(InvalidEdit, match="can't be written to a file"):
        Session.create(path, spoil(new_case()))  # type: ignore[operator]  # one of the lambdas above
    assert files_in(path.parent) == []


def test_closing_saves_and_leaves_the_case_and_its_previous_version(path: Path) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]
    assert numbers(read(path)) == [1]
    assert numbers(read(path.with_name(f"{NAME}.previous"))) == []
    session.close()


def test_looking_at_a_case_changes_nothing_on_disk(path: Path) -> None:
    Session.create(path, new_case()).close()
    before = path.stat()
    with Session.open(path) as session, Session.open(path, writable=False) as reader:
        assert session.case == reader.case
        assert reader.holder is not None
    assert path.stat().st_mtime_ns == before.st_mtime_ns
    assert files_in(path.parent) == [NAME]


def test_a_closed_case_takes_no_changes(path: Path) -> None:
    session = Session.create(path, new_case())
    session.close()
    for change in (lambda: session.do(adding(1)), session.undo, session.redo, session.save):
        with pytest.raises(StoreError, match="is closed; open it again"):
            change()


def test_a_case_open_for_reading_takes_no_changes(path: Path) -> None:
    Session.create(path, new_case()).close()
    with Session.open(path, writable=False) as session:
        assert session.read_only
        assert session.holder is None
        for change in (lambda: session.do(adding(1)), session.undo, session.redo, session.save):
            with pytest.raises(StoreError, match="open read-only"):
                change()
    assert files_in(path.parent) == [NAME]


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_case_has_one_lock_by_whatever_name_it_is_opened(path: Path) -> None:
    link = path.parent / "link.case.jsonld"
    with Session.create(path, new_case()):
        link.symlink_to(path)
        with pytest.raises(CaseBusy, match="is open in this program"):
            Session.open(link)
    with Session.open(link) as session:
        session.do(adding(1))
    assert link.is_symlink()
    assert numbers(read(path)) == [1]


# --- changing ------------------------------------------------------------------------------------------------


def test_a_change_is_kept_then_told(path: Path) -> None:
    told: list[Change] = []
    with Session.create(path, new_case(), now=at_noon) as session:

        def listener(change: Change) -> None:
            assert numbers(after_a_kill(path)) == numbers(change.after), "told before it was on disk"
            told.append(change)

        unsubscribe = session.subscribe(listener)
        change = session.do(adding(1))
        assert told == [change]
        assert change.says == "Bimanual added"
        assert (change.before, change.after) == (new_case(), session.case)
        unsubscribe()
        session.do(adding(2))
        assert len(told) == 1
        unsubscribe()


def test_new_and_changed_tags_get_their_times(path: Path) -> None:
    moments = iter(datetime(2026, 11, 24, 12, 0, tzinfo=UTC) + timedelta(minutes=minute) for minute in range(10))
    with Session.create(path, new_case(), now=lambda: next(moments)) as session:
        session.do(lambda case: edits.add(case, [new_tag(1), replace(new_tag(2), created="2026-01-01T00:00:00Z")]))
        session.do(noting(1, "why"))
        times = [(tag.created, tag.modified) for tag in session.case.tags]
        assert times == [
            ("2026-11-24T12:00:00Z", "2026-11-24T12:01:00Z"),
            ("2026-01-01T00:00:00Z", "2026-11-24T12:00:00Z"),
        ]
        session.undo()
        assert session.case.tags[0].modified == "2026-11-24T12:00:00Z"


def test_a_change_that_changes_nothing_is_neither_kept_nor_told(path: Path) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        session.subscribe(lambda change: pytest.fail("told"))
        change = session.do(noting(1, ""))
        assert change.before is change.after is session.case
    assert casefile.loads(path.read_bytes())[1] == 1


def test_undo_and_redo_are_changes_too_and_reach_back_over_saves(path: Path) -> None:
    with Session.create(path, new_case(), now=at_noon) as session:
        with pytest.raises(InvalidEdit, match="nothing to undo"):
            session.undo()
        states = [session.case, session.do(adding(1)).after]
        session.save()
        states.append(session.do(lambda case: edits.rename(case, "Other")).after)
        session.save()
        undone = session.undo()
        assert undone[:3] == ("Undone: The case is called “Other”", states[2], states[1])
        assert applied(states[2], undone.delta) == states[1]
        assert session.undo().after == states[0]
        assert after_a_kill(path) == states[0]
        assert (session.can_undo, session.can_redo) == (False, True)
        assert session.redo().says == "Redone: Bimanual added"
        assert session.case == states[1]
        assert after_a_kill(path) == states[1]
        session.do(noting(1, "another way"))
        assert (session.can_undo, session.can_redo) == (True, False)
        with pytest.raises(InvalidEdit, match="nothing to redo"):
            session.redo()


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda case: edits.rename(case, "\ud800"), "surrogates not allowed"),
        (lambda case: edits.rename(case, "x" * 10_001), "label: the text is longer"),
        (lambda case: edits.describe(case, [new_tag(1).id], note="x" * 10_001), "the text is longer"),
        (lambda case: edits.add(case, [replace(new_tag(2), performer="nobody")]), "There is no performer “nobody”"),
        (lambda case: edits.add(case, [replace(new_tag(2), id="no iri")]), "“no iri” is not an IRI"),
        (lambda case: edits.add(case, [replace(new_tag(2), extra={"x": (1, 2)})]), "values that JSON has no form for"),
        (lambda case: edits.add(case, [replace(new_tag(2), extra={"x": {1}})]), "values that JSON has no form for"),
        (lambda case: edits.add(case, [replace(new_tag(2), extra={"x": object()})]), "unsupported"),
        (lambda case: edits.add(case, [replace(new_tag(2), extra={"id": "urn:other"})]), "JSON has no form for"),
        (lambda case: edits.Edited(replace(case, extra={"x": (1, 2)}), "more"), "values that JSON has no form for"),
        (lambda case: edits.Edited(replace(case, recordings=()), "no recording"), "a case has 1 to 1000 recordings"),
        (lambda case: edits.Edited(replace(case, id="urn:other"), "another"), "a case keeps its id for good"),
    ],
)
def test_a_change_that_could_not_be_read_back_is_refused(path: Path, edit: edits.Edit, says: str) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        before = session.case
        with pytest.raises(InvalidEdit, match=says):
            session.do(edit)
        assert session.case is before
        assert after_a_kill(path) == before
        session.do(adding(3))
        assert after_a_kill(path) == session.case


def test_another_recording_before_the_first_moves_no_tag(path: Path) -> None:
    """Times in a case file count from each recording's zero, so all tags are written anew when the clock changes."""
    earlier = Recording("urn:recording:0", "", "", 60_000)

    def insert(case: Case) -> edits.Edited:
        return edits.Edited(replace(case, recordings=(earlier, *case.recordings)), "a recording added")

    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        session.do(adding(70))
        tags = session.case.tags
        session.do(insert)
        assert session.case.tags == tags
        assert after_a_kill(path) == session.case
        session.undo()
        assert after_a_kill(path) == session.case


def test_a_long_journal_is_folded_into_the_case_file(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(session_module, "FOLD_AT", 2_000)
    journal = path.with_name(f".{NAME}.journal")
    with Session.create(path, new_case()) as session:
        for number in range(40):
            session.do(adding(number))
            assert journal.stat().st_size < 4_000
        assert numbers(after_a_kill(path)) == list(range(40))
    assert casefile.loads(path.read_bytes())[1] == 40


def test_a_case_does_not_grow_larger_than_one_may_be_read(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        session.save()
        monkeypatch.setattr(casefile, "LARGEST", path.stat().st_size + 4_000)
        for note in ("a" * 900, "b" * 900, "c" * 900, ""):  # the journal grows, the case does not
            session.do(noting(1, note))
        before = session.case
        with pytest.raises(InvalidEdit, match="larger than the 0 MB"):
            session.do(lambda case: edits.add(case, [new_tag(number) for number in range(2, 20)]))
        assert session.case is before
        assert after_a_kill(path) == before


def test_saving_twice_keeps_the_version_before_not_the_same_one(path: Path) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        session.save()
        session.save()
        assert numbers(read(path.with_name(f"{NAME}.previous"))) == []


# --- files that can't be read --------------------------------------------------------------------------------


@pytest.mark.parametrize("writable", [True, False])
def test_a_damaged_case_is_said_and_the_previous_version_offered(path: Path, writable: bool) -> None:
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InvalidFile, match=f"the version before the last save is kept as {NAME}.previous"):
        Session.open(path, writable)
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]
    path.write_bytes(path.with_name(f"{NAME}.previous").read_bytes())
    assert numbers(read(path)) == []


def test_a_later_version_is_named_with_its_file(path: Path) -> None:
    Session.create(path, new_case()).close()
    path.write_bytes(path.read_bytes().replace(b'"schemaVersion": %d' % VERSION, b'"schemaVersion": 99'))
    with pytest.raises(NewerSchema, match=f"{NAME}: This case was written by a later version"):
        Session.open(path)
    assert files_in(path.parent) == [NAME]


def test_a_file_of_any_size_is_refused_before_it_fills_the_memory(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(casefile.LARGEST + 1)
    with pytest.raises(StoreError, match="is larger than 256 MB"):
        Session.open(path)
    assert files_in(path.parent) == [NAME]


@pytest.mark.skipif(sys.platform == "win32", reason="named pipes of POSIX")
def test_what_is_no_file_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    for name in ("folder", "pipe"):
        with pytest.raises(StoreError, match="is not a file"):
            Session.open(tmp_path / name)
    assert files_in(tmp_path) == ["folder", "pipe"]


# --- after a kill --------------------------------------------------------------------------------------------


def test_changes_in_the_journal_are_taken_in_and_counted(path: Path) -> None:
    with Session.create(path, new_case(), now=at_noon) as session:
        session.do(adding(1))
        session.save()
        session.do(adding(2))
        session.do(lambda case: edits.rename(case, "Other"))
        session.do(lambda case: edits.remove(case, [new_tag(1).id]))
        with as_a_kill_would_leave_it(path) as left:
            with Session.open(left, writable=False) as reader:
                assert (reader.recovered, reader.case) == (3, session.case)
            with Session.open(left) as next_one:
                assert (next_one.recovered, next_one.case) == (3, session.case)
                next_one.do(adding(3))
            assert numbers(read(left)) == [2, 3]
            assert files_in(left.parent) == [NAME, f"{NAME}.previous"]


def test_case_and_journal_together_never_grow_beyond_what_can_be_read(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Changed again and again a case stays small, and its journal grows: it is folded in before it is too large."""
    with Session.create(path, new_case()) as session:
        session.do(adding(1))
        session.save()
        most = path.stat().st_size + 2_000
        monkeypatch.setattr(casefile, "LARGEST", most)
        for number in range(40):
            session.do(noting(1, f"note {number}"))
            assert path.stat().st_size + journal_path(path).stat().st_size <= most
    assert read(path).tags[0].note == "note 39"
