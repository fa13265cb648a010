"""Recordings are found where they were left, or by their content; a stranger's case opens nothing it should not."""

import os
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.store import recordings as recordings_module
from annotator.store.fingerprint import fingerprint
from annotator.store.recordings import Located, locate, path_to_keep
from tests.store.on_disk import NAME, new_case

CONTENT = b"a recording of a model eye"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a case and a recording, inside one with other folders."""
    (tmp_path / "work").mkdir()
    (tmp_path / "archive" / "2026").mkdir(parents=True)
    (tmp_path / "work" / "model-eye.mp4").write_bytes(CONTENT)
    return tmp_path


def case_of(folder: Path, *names: str) -> Case:
    recordings = tuple(
        Recording(
            f"urn:{name}", path_to_keep(folder / name, folder / "work" / NAME), fingerprint(folder / name), 60_000
        )
        for name in names or ("work/model-eye.mp4",)
    )
    return replace(new_case(), recordings=recordings)


WHAT = "sha256-samples-1:26:" + sha256(CONTENT).hexdigest()
"""The fingerprint of a file with this content, as documented in docs/case-file.md."""


def found(folder: Path, case: Case, *folders: Path) -> list[Located]:
    return locate(case, folder / "work" / NAME, folders)


def test_a_recording_is_where_it_was_left(folder: Path) -> None:
    assert found(folder, case_of(folder)) == [Located(0, folder / "work" / "model-eye.mp4", "as left", WHAT)]


def test_a_renamed_recording_is_found_beside_the_case(folder: Path) -> None:
    case = case_of(folder)
    renamed = (folder / "work" / "model-eye.mp4").rename(folder / "work" / "other name.mov")
    assert found(folder, case) == [Located(0, renamed, "moved", WHAT)]


def test_a_moved_recording_is_found_in_the_folders_given(folder: Path) -> None:
    case = case_of(folder)
    moved = (folder / "work" / "model-eye.mp4").rename(folder / "archive" / "2026" / "model-eye.mp4")
    assert found(folder, case) == [Located(0, None, "missing")]
    assert found(folder, case, folder / "nowhere", folder / "archive") == [Located(0, moved, "moved", WHAT)]


def test_a_case_and_its_recording_are_carried_off_together(folder: Path) -> None:
    case = case_of(folder)
    carried = (folder / "work").rename(folder / "stick")
    assert locate(case, carried / NAME) == [Located(0, carried / "model-eye.mp4", "as left", WHAT)]


def test_a_changed_recording_is_said(folder: Path) -> None:
    case = case_of(folder)
    path = folder / "work" / "model-eye.mp4"
    path.write_bytes(CONTENT[::-1])
    assert found(folder, case) == [Located(0, path, "changed")]


def test_where_another_file_took_its_place_the_recording_itself_is_preferred(folder: Path) -> None:
    case = case_of(folder)
    path = folder / "work" / "model-eye.mp4"
    kept = path.rename(folder / "work" / "kept.mp4")
    path.write_bytes(b"another recording")
    assert found(folder, case) == [Located(0, kept, "moved", WHAT)]


def test_several_recordings_each_have_their_own_state(folder: Path) -> None:
    for name in ("b.mp4", "c.mp4", "d.mp4"):
        (folder / "work" / name).write_bytes(name.encode())
    case = case_of(folder, "work/model-eye.mp4", "work/b.mp4", "work/c.mp4", "work/d.mp4")
    moved = (folder / "work" / "b.mp4").rename(folder / "work" / "x.mp4")
    (folder / "work" / "c.mp4").unlink()
    (folder / "work" / "d.mp4").write_bytes(b"")
    assert [(one.path, one.state) for one in found(folder, case)] == [
        (folder / "work" / "model-eye.mp4", "as left"),
        (moved, "moved"),
        (None, "missing"),
        (folder / "work" / "d.mp4", "changed"),
    ]


@pytest.mark.parametrize("kept", ["", "some-later-scheme:5:abc", "sha256-samples-1:x:abc"])
def test_where_the_case_does_not_say_what_was_in_a_file_that_is_not_known(folder: Path, kept: str) -> None:
    case = case_of(folder)
    case = replace(case, recordings=(replace(case.recordings[0], fingerprint=kept),))
    path = folder / "work" / "model-eye.mp4"
    assert found(folder, case) == [Located(0, path, "unknown", WHAT)]
    path.write_bytes(CONTENT[::-1])
    assert found(folder, case)[0].content not in ("", WHAT)
    path.unlink()
    assert found(folder, case) == [Located(0, None, "missing")]


def test_a_file_is_read_for_its_fingerprint_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[Path] = []

    def counted(path: Path) -> str:
        read.append(path)
        return fingerprint(path)

    case = case_of(folder)
    monkeypatch.setattr(recordings_module, "fingerprint", counted)
    assert found(folder, case)[0].content == WHAT
    assert read == [folder / "work" / "model-eye.mp4"]


@pytest.mark.parametrize(
    "path",
    [
        "",
        "http://127.0.0.1:9/x.mp4",
        "file:///etc/hostname",
        "concat:model-eye.mp4|model-eye.mp4",
        "subfile,,start,0,end,5,,:model-eye.mp4",
        "//server/share/model-eye.mp4",
        "\\\\server\\share\\model-eye.mp4",
        "/\\server/share/model-eye.mp4",
        "model-eye.mp4\0.txt",
        "x" * 5_000,
        ".",
        "..",
        "/",
        "/dev/zero",
    ],
)
def test_a_stranger_s_case_names_what_is_no_plain_file(folder: Path, path: str) -> None:
    """Such a path is never opened: the recording is missing until its content is found in a plain file."""
    case = case_of(folder)
    stranger = replace(case, recordings=(replace(case.recordings[0], path=path, fingerprint=""),))
    assert found(folder, stranger) == [Located(0, None, "missing")]
    known = replace(case, recordings=(replace(case.recordings[0], path=path),))
    assert found(folder, known)[0].state == "moved"


@pytest.mark.skipif(sys.platform == "win32", reason="named pipes and links of POSIX")
def test_pipes_and_circles_of_links_do_not_stop_the_search(folder: Path) -> None:
    case = case_of(folder)
    (folder / "work" / "model-eye.mp4").unlink()
    os.mkfifo(folder / "work" / "model-eye.mp4")
    (folder / "work" / "circle").symlink_to(folder / "work")
    (folder / "work" / "self").symlink_to(folder / "work" / "self")
    assert found(folder, case) == [Located(0, None, "missing")]


def test_the_search_is_bounded(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    case = case_of(folder)
    deep = folder / "work" / "1" / "2" / "3" / "4"
    deep.mkdir(parents=True)
    (folder / "work" / "model-eye.mp4").rename(deep / "model-eye.mp4")
    assert found(folder, case)[0].state == "missing"
    (deep / "model-eye.mp4").rename(deep.parent / "model-eye.mp4")
    assert found(folder, case)[0].state == "moved"
    read: list[Path] = []

    def unlike_any(path: Path) -> str:
        read.append(path)
        return ""

    monkeypatch.setattr(recordings_module, "fingerprint", unlike_any)
    monkeypatch.setattr(recordings_module, "MOST_READ", 3)
    for number in range(10):
        (folder / "work" / f"{number}.mp4").write_bytes(CONTENT[::-1])
    (folder / "work" / "other size.mp4").write_bytes(b"")
    assert found(folder, case)[0].state == "missing"
    assert len(read) == 3
    monkeypatch.setattr(recordings_module, "MOST_ENTRIES", 2)
    found(folder, case)
    assert len(read) == 4


def test_paths_are_kept_from_the_case_s_folder_with_forward_slashes(folder: Path) -> None:
    case_path = folder / "work" / NAME
    assert path_to_keep(folder / "work" / "model-eye.mp4", case_path) == "model-eye.mp4"
    assert path_to_keep(folder / "archive" / "2026" / "x.mp4", case_path) == "../archive/2026/x.mp4"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_path_is_kept_between_the_places_that_links_lead_to(folder: Path) -> None:
    """`..` behind a link leads somewhere else than it reads."""
    (folder / "archive" / "2026" / "real").mkdir()
    link = folder / "link"
    link.symlink_to(folder / "archive" / "2026" / "real")
    kept = path_to_keep(folder / "work" / "model-eye.mp4", link / NAME)
    assert kept == "../../../work/model-eye.mp4"
    case = replace(case_of(folder), recordings=(Recording("urn:r", kept, "", 1),))
    assert locate(case, link / NAME)[0].path == folder / "work" / "model-eye.mp4"
