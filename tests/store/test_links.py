"""A stranger's folder holds links and pipes where a case keeps its own files: nothing elsewhere is changed."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from annotator.errors import StoreError
from annotator.store.session import Session
from tests.store.on_disk import NAME, adding, as_a_kill_would_leave_it, files_in, new_case, numbers, read

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links, pipes and devices of POSIX")

PRECIOUS = b"a letter of somebody else\n"

LOCK, HOLDER, JOURNAL = f".{NAME}.lock", f".{NAME}.holder", f".{NAME}.journal"
PREVIOUS, STRAY = f"{NAME}.previous", f"{NAME}.stray-changes-1"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    folder = tmp_path / "received"
    folder.mkdir()
    with Session.create(folder / NAME, new_case()) as session:
        session.do(adding(1))
    (folder / PREVIOUS).unlink(missing_ok=True)
    return folder / NAME


@pytest.fixture
def elsewhere(tmp_path: Path) -> Path:
    file = tmp_path / "letter.txt"
    file.write_bytes(PRECIOUS)
    return file


@pytest.mark.parametrize("name", [LOCK, HOLDER, JOURNAL, PREVIOUS, STRAY])
def test_what_a_link_leads_to_is_never_changed(path: Path, elsewhere: Path, name: str) -> None:
    path.with_name(name).symlink_to(elsewhere)
    try:
        with Session.open(path) as session:
            session.do(adding(2))
            session.save()
            session.do(adding(3))
    except StoreError as error:
        assert name in str(error)
        assert "is a link to another place; remove it and try again" in str(error)
        path.with_name(name).unlink()
        assert numbers(read(path)) == [1]
    else:
        assert numbers(read(path)) == [1, 2, 3]
    assert elsewhere.read_bytes() == PRECIOUS


@pytest.mark.parametrize("name", [LOCK, HOLDER, JOURNAL, PREVIOUS, STRAY])
def test_a_link_to_nothing_makes_no_file_elsewhere(path: Path, tmp_path: Path, name: str) -> None:
    path.with_name(name).symlink_to(tmp_path / "new.txt")
    try:
        with Session.open(path) as session:
            session.do(adding(2))
    except StoreError as error:
        assert name in str(error)
    Session.create(path.with_name("c.case.jsonld"), new_case()).close()
    assert not (tmp_path / "new.txt").exists()


def test_changes_that_are_put_aside_do_not_follow_a_link(path: Path, tmp_path: Path) -> None:
    path.with_name(JOURNAL).write_bytes(b"a line that was damaged\n")
    path.with_name(STRAY).symlink_to(tmp_path / "new.txt")
    with Session.open(path) as session:
        assert f"{NAME}.stray-changes-2" in session.warnings[0]
    assert not (tmp_path / "new.txt").exists()


@pytest.mark.parametrize("name", [LOCK, JOURNAL])
def test_a_second_name_of_another_file_is_refused(path: Path, elsewhere: Path, name: str) -> None:
    os.link(elsewhere, path.with_name(name))
    with pytest.raises(StoreError, match=r"has a second name elsewhere \(a hard link\)"):
        Session.open(path)
    assert elsewhere.read_bytes() == PRECIOUS


KINDS: dict[str, Callable[[Path], None]] = {"pipe": os.mkfifo, "folder": Path.mkdir}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", [LOCK, JOURNAL])
def test_a_pipe_or_a_folder_is_refused_and_not_waited_for(path: Path, name: str, kind: str) -> None:
    KINDS[kind](path.with_name(name))
    with pytest.raises(StoreError, match="is a folder, a pipe or a device, not a file"):
        Session.open(path)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", [HOLDER, PREVIOUS])
def test_what_can_t_be_replaced_or_is_replaced_is_told_in_a_sentence(path: Path, name: str, kind: str) -> None:
    KINDS[kind](path.with_name(name))
    try:
        with Session.open(path) as session:
            session.do(adding(2))
    except StoreError as error:
        assert name in str(error)
    assert numbers(read(path))[:1] == [1]


def test_a_reader_reads_no_journal_behind_a_link(path: Path, elsewhere: Path) -> None:
    path.with_name(JOURNAL).symlink_to(elsewhere)
    with pytest.raises(StoreError, match="is a link to another place"):
        Session.open(path, writable=False)


def test_a_link_that_takes_the_journal_s_place_while_the_case_is_open_is_not_written_to(
    path: Path, elsewhere: Path
) -> None:
    with Session.open(path) as session:
        session.do(adding(2))
        path.with_name(JOURNAL).unlink()
        path.with_name(JOURNAL).symlink_to(elsewhere)
        with pytest.raises(StoreError, match=r"Nothing was changed; .*is a link to another place"):
            session.do(adding(3))
        assert elsewhere.read_bytes() == PRECIOUS
        path.with_name(JOURNAL).unlink()
        session.do(adding(3))
        with as_a_kill_would_leave_it(path) as left:
            assert numbers(read(left)) == [1, 2, 3]
    assert elsewhere.read_bytes() == PRECIOUS


def test_a_case_behind_a_link_is_changed_where_it_lies(path: Path, tmp_path: Path) -> None:
    """A link of the user's own, in a folder of cases, say: what stands beside the case stands beside the real one."""
    (tmp_path / "mine").mkdir()
    link = tmp_path / "mine" / "link.case.jsonld"
    link.symlink_to(path)
    with Session.open(link) as session:
        session.do(adding(2))
    assert link.is_symlink()
    assert numbers(read(path)) == [1, 2]
    assert files_in(tmp_path / "mine") == [link.name]
