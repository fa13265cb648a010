"""A case is read from two files while its writer goes on: nothing is missed between the one and the other."""

from collections.abc import Callable
from pathlib import Path

import pytest

from annotator.store import reading
from annotator.store.reading import read_case
from annotator.store.session import Session
from tests.store.on_disk import NAME, adding, new_case, numbers


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    return path


def between_the_two_files(monkeypatch: pytest.MonkeyPatch, happens: Callable[[], object], times: int = 1) -> None:
    """Let something happen each time that the first of the two files was read, whichever that is."""
    left, opened = times, 0

    def watched(read: Callable[[Path, int], bytes]) -> Callable[[Path, int], bytes]:
        def reads(path: Path, largest: int) -> bytes:
            nonlocal left, opened
            try:
                return read(path, largest)
            finally:
                opened += 1
                if opened % 2 and left:
                    left -= 1
                    happens()

        return reads

    for name in ("read_beside", "read_bounded"):
        monkeypatch.setattr(reading, name, watched(getattr(reading, name)))


def test_a_change_that_is_saved_between_reading_the_two_files_is_not_missed(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Session.open(path) as session:
        session.do(adding(1))
        between_the_two_files(monkeypatch, session.save)
        found = read_case(path)
    assert numbers(found.case) == [1]
    assert found.is_whole


def test_changes_made_and_saved_meanwhile_are_never_seen_half(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A writer that saves each time while one looks: what was done before the look is there in any case."""
    with Session.open(path) as session:
        session.do(adding(1))
        further = iter(range(2, 100))

        def saves_and_goes_on() -> None:
            session.save()
            session.do(adding(next(further)))

        between_the_two_files(monkeypatch, saves_and_goes_on, times=4)
        found = read_case(path)
        assert found.is_whole
        assert numbers(found.case) == numbers(session.case) == [1, 2, 3, 4, 5]


def test_a_case_that_is_saved_at_every_look_is_read_as_it_was_saved_last(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Session.open(path) as session:
        session.do(adding(1))
        further = iter(range(2, 100))

        def saves_and_goes_on() -> None:
            session.save()
            session.do(adding(next(further)))

        between_the_two_files(monkeypatch, saves_and_goes_on, times=1_000)
        found = read_case(path)
        monkeypatch.undo()
        assert found.stray
        assert set(numbers(found.case)) >= {1}
        assert numbers(read_case(path).case) == numbers(session.case)
