"""A case that is changed while its file is written: both the file and the changes are there, whenever a kill comes."""

from pathlib import Path

import pytest

from annotator.errors import NotSaved, StoreError
from annotator.store.known_file import KnownFile
from annotator.store.reading import read_case
from annotator.store.session import Session
from tests.store.on_disk import NAME, adding, new_case, numbers


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    return path


def test_what_is_done_while_the_file_is_written_is_there_after_a_kill(path: Path) -> None:
    with Session.open(path) as session:
        session.do(adding(1))
        saving = session.begin_saving()
        assert saving is not None
        session.do(adding(2))
        assert numbers(read_case(path).case) == [1, 2], "before the file is there"
        saving.write()
        session.do(adding(3))
        found = read_case(path)
        assert (numbers(found.case), found.recovered, found.is_whole) == ([1, 2, 3], 2, True)
        session.end_saving()
        assert not session.is_saved
        assert numbers(read_case(path).case) == [1, 2, 3]
    found = read_case(path)
    assert (numbers(found.case), found.recovered) == ([1, 2, 3], 0)


def test_the_case_in_the_file_is_the_one_of_the_time_that_it_was_asked_for(path: Path) -> None:
    with Session.open(path) as session:
        session.do(adding(1))
        saving = session.begin_saving()
        assert saving is not None
        session.undo()
        saving.write()
        assert numbers(read_case(path).case) == []
        session.end_saving()
    assert numbers(read_case(path).case) == []


def test_only_one_save_is_under_way_and_the_next_waits_for_it(path: Path) -> None:
    with Session.open(path) as session:
        session.do(adding(1))
        saving = session.begin_saving()
        assert saving is not None
        assert session.begin_saving() is None
        saving.write()
        session.do(adding(2))
        session.save()
        assert session.is_saved
    assert numbers(read_case(path).case) == [1, 2]


def test_a_save_that_fails_meanwhile_is_told_and_loses_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise StoreError("the disk is full")

    with Session.open(path) as session:
        session.do(adding(1))
        saving = session.begin_saving()
        assert saving is not None
        monkeypatch.setattr(KnownFile, "replace", full)
        saving.write()
        session.do(adding(2))
        with pytest.raises(NotSaved, match="safe in the journal"):
            session.end_saving()
        monkeypatch.undo()
        assert numbers(read_case(path).case) == [1, 2]
    assert numbers(read_case(path).case) == [1, 2]
