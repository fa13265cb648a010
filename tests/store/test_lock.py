"""The lock of a case: on a share without locks, within one process, and what a killed process leaves of it."""

import errno
import sys
from pathlib import Path

import pytest

from annotator.errors import CaseBusy, StoreError
from annotator.store.session import Session
from tests.store.on_disk import NAME, files_in, new_case, read
from tests.store.test_two_processes import other_process


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    return path


@pytest.mark.skipif(sys.platform == "win32", reason="locks of POSIX")
@pytest.mark.parametrize("code", [errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL])
def test_a_share_without_locks_says_what_that_means_and_what_to_try(
    path: Path, code: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def flock(_descriptor: int, _operation: int) -> None:
        raise OSError(code, "no locks")

    monkeypatch.setattr("fcntl.flock", flock)
    with pytest.raises(StoreError, match="two programs could change the case at once") as caught:
        Session.open(path)
    assert "copy the case and its recordings to a folder on this computer" in str(caught.value)
    assert files_in(path.parent) == [NAME]
    assert read(path) == new_case()


def test_a_case_that_this_very_process_holds_is_told_apart(path: Path) -> None:
    with Session.open(path):
        with pytest.raises(CaseBusy, match="is open in this program") as caught:
            Session.open(path)
        assert caught.value.is_here
    with other_process(path):
        with pytest.raises(CaseBusy, match="is open elsewhere") as caught:
            Session.open(path)
        assert not caught.value.is_here


@pytest.mark.parametrize("left", [("lock", "holder"), ("holder",)])
@pytest.mark.parametrize("writable", [True, False])
def test_who_held_a_case_when_killed_is_forgotten_at_the_next_opening(
    path: Path, left: tuple[str, ...], writable: bool
) -> None:
    with other_process(path) as other:
        other.is_killed()
    for ending in ("lock", "holder"):
        if ending not in left:
            path.with_name(f".{NAME}.{ending}").unlink()
    assert f".{NAME}.holder" in files_in(path.parent)
    Session.open(path, writable).close()
    assert files_in(path.parent) == [NAME]
