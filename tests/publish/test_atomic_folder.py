"""All of a run's files appear in a folder at its end, or none; what goes wrong is told in a sentence."""

from pathlib import Path

import pytest

from annotator.errors import MediaError, StoreError
from annotator.publish.atomic_folder import all_at_once, folder_for, put


def files_in(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_files_take_their_place_at_the_end_and_not_before(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(b"earlier")
    (tmp_path / "other").write_bytes(b"of somebody")
    with all_at_once(tmp_path) as part:
        put(part / "a.png", b"new")
        put(part / "b.png", b"new too")
        assert not (tmp_path / "b.png").exists()
        assert (tmp_path / "a.png").read_bytes() == b"earlier"
        assert part.parent == tmp_path
        assert part.name.startswith(".")
    assert files_in(tmp_path) == {"a.png": b"new", "b.png": b"new too", "other": b"of somebody"}


@pytest.mark.parametrize("error", [KeyboardInterrupt(), MediaError("the recording is damaged")])
def test_where_the_work_ends_early_nothing_has_changed(tmp_path: Path, error: BaseException) -> None:
    (tmp_path / "a.png").write_bytes(b"earlier")
    with pytest.raises(type(error)), all_at_once(tmp_path) as part:
        put(part / "a.png", b"new")
        raise error
    assert files_in(tmp_path) == {"a.png": b"earlier"}


def test_what_the_system_refuses_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(StoreError) as refused, all_at_once(tmp_path) as part:
        put(part / "a.png", b"new")
        raise OSError(28, "No space left on device")
    assert str(refused.value) == (
        f"Nothing can be written into {tmp_path}: the disk is full; free some space and try again"
    )
    assert files_in(tmp_path) == {}
    with pytest.raises(StoreError, match="Nothing can be written into"), all_at_once(tmp_path / "gone"):
        pass
    assert not (tmp_path / "gone").exists()


def test_a_file_is_written_once(tmp_path: Path) -> None:
    put(tmp_path / "a", b"1")
    with pytest.raises(FileExistsError):
        put(tmp_path / "a", b"2")
    assert files_in(tmp_path) == {"a": b"1"}


def test_a_new_folder_stays_only_with_something_in_it(tmp_path: Path) -> None:
    with folder_for(tmp_path / "empty"):
        assert (tmp_path / "empty").is_dir()
    assert not (tmp_path / "empty").exists()
    with folder_for(tmp_path / "filled"):
        put(tmp_path / "filled" / "a", b"1")
    assert files_in(tmp_path / "filled") == {"a": b"1"}
    with pytest.raises(KeyboardInterrupt), folder_for(tmp_path / "stopped"):
        raise KeyboardInterrupt
    assert not (tmp_path / "stopped").exists()


def test_a_folder_that_was_there_stays_though_it_is_empty(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    with folder_for(tmp_path / "mine"):
        pass
    assert (tmp_path / "mine").is_dir()


def test_where_no_folder_can_be_it_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StoreError, match="is a file; name a folder to write into"), folder_for(tmp_path / "file"):
        pass
    with pytest.raises(StoreError, match="can't be made: there is no such folder"), folder_for(tmp_path / "a" / "b"):
        pass
    assert [path.name for path in tmp_path.iterdir()] == ["file"]
