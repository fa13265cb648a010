"""What is written over, and what never is: told by name, by content, by links, and by the cases nearby."""

import os
import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import StoreError
from annotator.formats.case import casefile
from annotator.formats.case import recordings as casefile_recordings
from annotator.model import edits
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.store import recordings, ways_out
from annotator.store.fingerprint import fingerprint
from annotator.store.session import Session
from annotator.store.ways_out import CASE, HEAD, Kind, WayOut, check, head_of, is_text
from tests.measure.cases import case as drawn

NOTES = Kind(
    "a note",
    (".txt",),
    lambda path: is_text(head_of(path)),
    lambda path: head_of(path).startswith(b"note"),
)
FILM = Kind("a recording", (".mp4", ".mkv"), lambda path: head_of(path)[4:8] == b"ftyp", lambda _path: False)
MP4 = b"\0\0\0\x18ftypmp42" + bytes(range(200))


def case_naming(*named: tuple[str, str]) -> Case:
    """A case over recordings, each by its path and its fingerprint."""
    films = tuple(Recording(f"urn:r:{at}", path, content, 60_000) for at, (path, content) in enumerate(named))
    return replace(drawn(), recordings=films)


def keep(path: Path, case: Case) -> Path:
    path.write_bytes(casefile.dumps(case, 0))
    return path


def refused(way: WayOut) -> str:
    """What is said; the file is as it was."""
    before = way.path.read_bytes() if os.path.isfile(way.path) else None  # noqa: PTH113  # says so of any name
    with pytest.raises(StoreError) as raised:
        way.write(b"written")
    assert before is None or way.path.read_bytes() == before
    return str(raised.value)


def test_what_is_not_there_and_what_an_earlier_run_wrote_is_written(tmp_path: Path) -> None:
    way = WayOut(tmp_path / "a.txt", NOTES)
    way.write(b"note 1")
    way.write(b"note 2")
    assert way.path.read_bytes() == b"note 2"
    way.path.write_bytes(b"")
    way.write(b"note 3")
    assert way.path.read_bytes() == b"note 3"


def test_what_somebody_else_wrote_gives_way_only_where_that_is_asked_for(tmp_path: Path) -> None:
    way = WayOut(tmp_path / "a.txt", NOTES)
    way.path.write_bytes(b"of my own")
    assert "--replace" in refused(way)
    way._replace(replace=True).write(b"note")
    assert way.path.read_bytes() == b"note"


@pytest.mark.parametrize("content", [MP4, b"\xff\xfe\0\0", b"caf\xe9", b"\0"])
def test_what_is_of_another_kind_never_gives_way(content: bytes, tmp_path: Path) -> None:
    way = WayOut(tmp_path / "a.txt", NOTES, replace=True)
    way.path.write_bytes(content)
    assert "is not a note; name another file" in refused(way)


@pytest.mark.parametrize("name", ["case.case.jsonld", "case.txt", "case.previous.txt"])
def test_a_case_never_gives_way_whatever_it_is_called(name: str, tmp_path: Path) -> None:
    assert refused(WayOut(keep(tmp_path / name, drawn()), NOTES, replace=True))


def test_a_case_is_known_wherever_it_says_so(tmp_path: Path) -> None:
    """Keys of JSON have no order: another program may write what the file is at its end."""
    path = tmp_path / "a.txt"
    path.write_text(f'{{"label": "{"x" * 2 * HEAD}", "schemaName": "surgical-step-annotator case"}}', encoding="utf-8")
    assert "is a case, and cases are never overwritten" in refused(WayOut(path, NOTES, replace=True))


def test_a_damaged_case_is_a_case_still(tmp_path: Path) -> None:
    path = keep(tmp_path / "a.txt", drawn())
    os.truncate(path, path.stat().st_size // 2)
    assert "is a case, and cases are never overwritten" in refused(WayOut(path, NOTES, replace=True))


@pytest.mark.parametrize(
    "name",
    [
        *(".a.case.jsonld.lock", ".a.case.jsonld.holder", ".a.case.jsonld.journal", "a.case.jsonld.previous"),
        *("a.case.jsonld.stray-changes-2", ".A.CASE.JSONLD.JOURNAL"),
    ],
)
def test_what_stands_beside_a_case_is_left_alone_also_where_it_is_not_there_yet(name: str, tmp_path: Path) -> None:
    assert "reserved for files beside a case" in refused(WayOut(tmp_path / name, NOTES))
    assert list(tmp_path.iterdir()) == []


def test_the_names_that_a_case_keeps_for_itself_are_those(tmp_path: Path) -> None:
    """Held against what a session really puts there."""
    path = tmp_path / "a.case.jsonld"
    with Session.create(path, drawn()) as session:
        session.do(lambda case: edits.rename(case, "Anew"))
        there = {one.name for one in tmp_path.iterdir()}
        session.save()
        there |= {one.name for one in tmp_path.iterdir()}
    for name in there - {path.name}:
        assert "name another file" in refused(WayOut(tmp_path / name, NOTES)), name
    assert len(there) >= 4


@pytest.mark.parametrize("name", ["a.mp4", "a.MOV", "a.mts", "a.jsonld"])
def test_a_name_that_says_something_else_is_refused_before_anything_is_there(name: str, tmp_path: Path) -> None:
    assert "name a file that ends in .txt" in refused(WayOut(tmp_path / name, NOTES))


@pytest.mark.parametrize("name", ["a", "a.docx", "a.srt", "a.v2"])
def test_a_new_file_is_called_as_its_kind_is(name: str, tmp_path: Path) -> None:
    assert "needs a name that ends in .txt" in refused(WayOut(tmp_path / name, NOTES))
    assert "needs a name that ends in .case.jsonld" in refused(WayOut(tmp_path / name, CASE))
    assert not (tmp_path / name).exists()
    (tmp_path / name).write_bytes(b"note 1")
    WayOut(tmp_path / name, NOTES).write(b"note 2")


def test_a_new_case_takes_no_place(tmp_path: Path) -> None:
    (tmp_path / "notes.json").write_text("{}", encoding="utf-8")
    assert "is not a case" in refused(WayOut(tmp_path / "notes.json", CASE))
    assert "is a case, and cases are never overwritten" in refused(
        WayOut(keep(tmp_path / "a.case.jsonld", drawn()), CASE, replace=True)
    )
    assert "ends like a recording" in refused(WayOut(tmp_path / "film.mp4", CASE))
    WayOut(tmp_path / "b.case.jsonld", CASE).check()


def test_folders_devices_and_pipes_are_no_files_to_write(tmp_path: Path) -> None:
    assert "is a folder" in refused(WayOut(tmp_path, NOTES, replace=True))
    if sys.platform != "win32":
        os.mkfifo(tmp_path / "pipe.txt")
        assert "a device or a pipe" in refused(WayOut(tmp_path / "pipe.txt", NOTES, replace=True))
        assert "a device or a pipe" in refused(WayOut(Path(os.devnull), NOTES, replace=True))


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="as /dev/stdout is, where output goes to a pipe")
def test_a_link_to_a_pipe_without_a_name_is_no_file_to_write() -> None:
    reads, writes = os.pipe()
    try:
        assert "a device or a pipe" in refused(WayOut(Path(f"/proc/self/fd/{writes}"), NOTES))
    finally:
        os.close(reads)
        os.close(writes)


def test_names_that_no_file_can_have_are_said(tmp_path: Path) -> None:
    assert "choose a shorter one" in refused(WayOut(tmp_path / f"{'x' * 300}.txt", NOTES))
    assert refused(WayOut(tmp_path / "nowhere" / "a.txt", NOTES))
    if sys.platform != "win32":
        (tmp_path / "round.txt").symlink_to("round.txt")
        assert refused(WayOut(tmp_path / "round.txt", NOTES))


# --- recordings ------------------------------------------------------------------------------------------


@pytest.fixture
def film(tmp_path: Path) -> Path:
    path = tmp_path / "film.mp4"
    path.write_bytes(MP4)
    return path


def test_a_recording_gives_way_only_where_that_is_asked_for(film: Path) -> None:
    assert "already exists; name another file, or replace it with --replace" in refused(WayOut(film, FILM))
    WayOut(film, FILM, replace=True).write(MP4 + b"new")
    assert film.read_bytes().endswith(b"new")


def test_what_is_no_recording_never_gives_way_to_one(film: Path) -> None:
    film.write_text("a note with a recording's name", encoding="utf-8")
    assert "is not a recording" in refused(WayOut(film, FILM, replace=True))


def test_a_recording_that_a_case_refers_to_never_gives_way(film: Path, tmp_path: Path) -> None:
    keep(tmp_path / "c.case.jsonld", case_naming(("film.mp4", "")))
    assert "film.mp4 is a recording that c.case.jsonld refers to" in refused(WayOut(film, FILM, replace=True))


@pytest.mark.parametrize("where", ["", "cases", "deep/cases"])
def test_cases_are_looked_for_beside_it_above_it_and_beside_the_case_at_hand(
    where: str, film: Path, tmp_path: Path
) -> None:
    folder = tmp_path / where
    folder.mkdir(parents=True, exist_ok=True)
    path = os.path.relpath(film, folder)
    keep(folder / "other.case.jsonld", case_naming((path, "")))
    at_hand = keep(folder / "mine.case.jsonld", case_naming(("elsewhere.mp4", "")))
    assert "other.case.jsonld refers to" in refused(WayOut(film, FILM, at_hand, replace=True))


def test_a_case_above_the_folder_of_recordings_is_seen(tmp_path: Path) -> None:
    (tmp_path / "films").mkdir()
    film = tmp_path / "films" / "film.mp4"
    film.write_bytes(MP4)
    keep(tmp_path / "c.case.jsonld", case_naming(("films/film.mp4", "")))
    assert "c.case.jsonld refers to" in refused(WayOut(film, FILM, replace=True))


def test_the_case_at_hand_may_have_any_name(film: Path, tmp_path: Path) -> None:
    at_hand = keep(tmp_path / "kept", case_naming(("film.mp4", "")))
    assert "kept refers to" in refused(WayOut(film, FILM, at_hand, replace=True))


def test_a_recording_that_was_moved_is_known_by_its_content(film: Path, tmp_path: Path) -> None:
    keep(tmp_path / "c.case.jsonld", case_naming(("before.mp4", fingerprint(film))))
    assert "c.case.jsonld refers to" in refused(WayOut(film, FILM, replace=True))


def test_a_copy_of_a_recording_that_is_in_its_place_may_give_way(film: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.mp4"
    copy.write_bytes(film.read_bytes())
    keep(tmp_path / "c.case.jsonld", case_naming(("film.mp4", fingerprint(film))))
    WayOut(copy, FILM, replace=True).write(MP4 + b"new")
    assert film.read_bytes() == MP4


def test_the_places_that_many_cases_name_are_looked_at_once_for_many_files(
    film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A department's folder may hold hundreds of cases, and a run may write hundreds of clips into it."""
    for number in range(9):
        keep(tmp_path / f"{number}.case.jsonld", case_naming((f"{number}.mp4", ""), ("film.mp4", fingerprint(film))))
    copy = tmp_path / "copy.mp4"
    copy.write_bytes(film.read_bytes())
    resolved, read = Counter[str](), Counter[str]()
    realpath = os.path.realpath

    def counting(path: str | os.PathLike[str]) -> str:
        resolved[os.fspath(path)] += 1
        return realpath(path)

    def fingerprinting(path: Path) -> str:
        read[path.name] += 1
        return fingerprint(path)

    monkeypatch.setattr(os.path, "realpath", counting)
    monkeypatch.setattr(recordings, "fingerprint", fingerprinting)
    check(WayOut(tmp_path / name, FILM, replace=True) for name in ("copy.mp4", *(f"new {at}.mp4" for at in range(9))))
    assert [resolved[str(tmp_path / f"{number}.mp4")] for number in range(9)] == [1] * 9
    assert read == {"copy.mp4": 1, "film.mp4": 1}


def test_a_case_with_recordings_without_end_is_not_read(film: Path, tmp_path: Path) -> None:
    many = case_naming(*((f"{number}.mp4", "") for number in range(casefile.MOST_RECORDINGS + 1)))
    keep(tmp_path / "many.case.jsonld", many)
    assert "many.case.jsonld can't be read" in refused(WayOut(film, FILM, replace=True))


def test_a_change_that_is_only_in_the_journal_counts(film: Path, tmp_path: Path) -> None:
    path = tmp_path / "c.case.jsonld"
    Session.create(path, case_naming(("before.mp4", ""))).close()
    with Session.open(path) as session:
        session.do(lambda case: edits.relocate(case, 0, "film.mp4", ""))
        assert "c.case.jsonld refers to" in refused(WayOut(film, FILM, replace=True))


def test_the_place_of_a_recording_that_is_away_stays_free(tmp_path: Path) -> None:
    keep(tmp_path / "c.case.jsonld", case_naming(("Away.mp4", "")))
    for name in ("Away.mp4", "away.MP4"):
        assert "c.case.jsonld refers to" in refused(WayOut(tmp_path / name, FILM))


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
@pytest.mark.parametrize("hard", [False, True])
def test_links_lead_nowhere_else(hard: bool, film: Path, tmp_path: Path) -> None:
    keep(tmp_path / "c.case.jsonld", case_naming(("film.mp4", "")))
    links = [tmp_path / "link.mp4", tmp_path / "link.txt"]
    for link in links:
        os.link(film, link) if hard else link.symlink_to(film.name)
    assert refused(WayOut(links[0], FILM, replace=True))
    assert refused(WayOut(links[1], NOTES, replace=True))
    assert film.read_bytes() == MP4


def test_the_recording_that_it_is_made_from_never_gives_way(film: Path) -> None:
    assert "is the recording itself" in refused(WayOut(film, FILM, replace=True, sources=(film,)))


def test_a_case_that_cannot_be_read_might_refer_to_it(film: Path, tmp_path: Path) -> None:
    (tmp_path / "c.case.jsonld").write_bytes(b"\0 damaged")
    assert "c.case.jsonld can't be read" in refused(WayOut(film, FILM, replace=True))
    WayOut(tmp_path / "new.mp4", FILM).write(MP4)


def test_other_json_is_no_case(film: Path, tmp_path: Path) -> None:
    (tmp_path / "package.json").write_text('{"recordings": [{"path": "film.mp4"}]}', encoding="utf-8")
    (tmp_path / "broken.json").write_text("{", encoding="utf-8")
    (tmp_path / "folder.jsonld").mkdir()
    WayOut(film, FILM, replace=True).write(MP4)


def test_more_than_is_looked_through_is_said(film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways_out, "MOST_CASES", 2)
    for number in range(3):
        keep(tmp_path / f"{number}.case.jsonld", case_naming((f"{number}.mp4", "")))
    assert "more than 2 cases near it" in refused(WayOut(film, FILM, replace=True))
    monkeypatch.setattr(ways_out, "MOST_CASES", 500)
    monkeypatch.setattr(ways_out, "MOST_ENTRIES", 2)
    assert "contains more than 2 files" in refused(WayOut(film, FILM, replace=True))
    WayOut(tmp_path / "new.mp4", FILM).write(MP4)


def test_of_several_each_case_is_read_once(film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[bytes] = []
    loads = casefile_recordings.loads

    def counted(data: bytes) -> tuple[Recording, ...] | None:
        read.append(data)
        return loads(data)

    monkeypatch.setattr(casefile_recordings, "loads", counted)
    at_hand = keep(tmp_path / "c.case.jsonld", case_naming(("elsewhere.mp4", "")))
    check(WayOut(tmp_path / f"{number}.mp4", FILM, at_hand) for number in range(20))
    assert read == [at_hand.read_bytes()]


@given(st.text(), st.integers(0, 3))
def test_text_is_text_wherever_it_is_cut(text: str, cut: int) -> None:
    encoded = text.replace("\0", "").encode("utf-8", "ignore")
    assert is_text(encoded)
    long = (encoded or b"x") * (HEAD // max(len(encoded), 1) + 1)
    assert is_text(long[:HEAD])
    assert not is_text(encoded[:cut] + b"\0")
