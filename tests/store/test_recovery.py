"""What a kill, a full disk or a stranger left beside a case: nothing acknowledged is lost, nothing foreign taken in."""

import json
import tracemalloc
from copy import deepcopy
from hashlib import sha256
from pathlib import Path
from zlib import crc32

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidFile, NewerSchema
from annotator.formats.case import casefile, journal
from annotator.formats.case.journal import Record
from annotator.formats.case.journal_record import replayed
from annotator.formats.case.upgrades import VERSION
from annotator.store.reading import journal_path
from annotator.store.recovery import set_aside
from annotator.store.session import Session
from tests.formats.example_case import CASE
from tests.store.on_disk import (
    NAME,
    adding,
    as_a_kill_would_leave_it,
    at_noon,
    files_in,
    new_case,
    new_tag,
    numbers,
    read,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A case with tag 1 saved and tags 2 and 3 in the journal, as a kill leaves it."""
    (tmp_path / "work").mkdir()
    (tmp_path / "left").mkdir()
    with Session.create(tmp_path / "work" / NAME, new_case(), now=at_noon) as session:
        session.do(adding(1))
        session.save()
        session.do(adding(2))
        session.do(adding(3))
        with as_a_kill_would_leave_it(session.path) as left:
            for name in (NAME, f".{NAME}.journal"):
                (tmp_path / "left" / name).write_bytes((left.parent / name).read_bytes())
    return tmp_path / "left" / NAME


def opened(path: Path) -> tuple[list[int], int, tuple[str, ...]]:
    with Session.open(path) as session:
        return numbers(session.case), session.recovered, session.warnings


def stray(path: Path, number: int = 1) -> Path:
    return path.with_name(f"{NAME}.stray-changes-{number}")


def test_the_journal_is_taken_in(path: Path) -> None:
    assert opened(path) == ([1, 2, 3], 2, ())
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]
    assert opened(path) == ([1, 2, 3], 0, ())


def test_opening_again_and_again_without_a_change_loses_nothing(path: Path) -> None:
    for _ in range(3):
        with as_a_kill_would_leave_it(path) as left, Session.open(left) as session:
            assert numbers(session.case) == [1, 2, 3]
            with as_a_kill_would_leave_it(left) as again:
                assert numbers(read(again)) == [1, 2, 3]


@pytest.mark.parametrize("cut", [1, 20, 200])
def test_a_torn_last_change_is_dropped_and_the_next_one_kept(path: Path, cut: int) -> None:
    whole = journal_path(path).read_bytes()
    journal_path(path).write_bytes(whole[:-cut])
    with as_a_kill_would_leave_it(path) as left, Session.open(left) as session:
        assert (numbers(session.case), session.recovered, session.warnings) == ([1, 2], 1, ())
        session.do(adding(4))
        with as_a_kill_would_leave_it(left) as again:
            assert numbers(read(again)) == [1, 2, 4]


def test_garbage_behind_the_last_change_is_dropped(path: Path) -> None:
    with journal_path(path).open("ab") as file:
        file.write(b"\0" * 5_000)
    assert opened(path) == ([1, 2, 3], 2, ())


def test_what_stands_before_a_damaged_change_is_taken_in_and_the_rest_kept_apart(path: Path) -> None:
    first, second = journal_path(path).read_bytes().splitlines(keepends=True)
    damaged = first.replace(b"urn:tag:0002", b"urn:tag:XXXX") + second
    journal_path(path).write_bytes(damaged)
    said, recovered, warnings = opened(path)
    assert (said, recovered) == ([1], 0)
    assert len(warnings) == 1
    assert str(stray(path)) in warnings[0]
    assert stray(path).read_bytes() == damaged
    assert opened(path) == ([1], 0, ())


@pytest.mark.parametrize("place", [0, 5, 100, -2, -1])
def test_a_flipped_bit_in_the_last_change_is_said_and_kept_apart(path: Path, place: int) -> None:
    """It was whole once, and acknowledged: not what a write leaves that was cut short."""
    first, last = journal_path(path).read_bytes().splitlines(keepends=True)
    flipped = bytearray(last)
    flipped[place] ^= 1
    journal_path(path).write_bytes(first + flipped)
    with Session.open(path, writable=False) as reader:
        assert str(journal_path(path)) in reader.warnings[0]
    said, recovered, warnings = opened(path)
    assert (said, recovered) == ([1, 2], 1)
    assert warnings == (
        "Of the changes from before an interruption the last can't be read any more: the disk or another program has "
        f"damaged their file. Those before are taken in; all of that file is kept in {stray(path)}",
    )
    assert stray(path).read_bytes() == first + flipped
    assert opened(path) == ([1, 2], 0, ())


def test_a_change_that_was_interrupted_before_it_was_acknowledged_gives_way_to_the_next(path: Path) -> None:
    first, second = journal.loads(journal_path(path).read_bytes()).records
    interrupted = msgspec.structs.replace(second, put=(), drop=(new_tag(1).id,))
    journal_path(path).write_bytes(b"".join(map(journal.dumps, (first, interrupted, second))))
    assert opened(path) == ([1, 2, 3], 2, ())


def test_a_reader_leaves_a_stray_journal_where_it_is(path: Path) -> None:
    Session.create(path.with_name("other"), new_case(2)).close()
    path.write_bytes(path.with_name("other").read_bytes())
    before = files_in(path.parent)
    with Session.open(path, writable=False) as reader:
        assert numbers(reader.case) == []
        assert "changes that do not go with this version" in reader.warnings[0]
    assert files_in(path.parent) == before


def test_the_journal_of_another_case_is_kept_apart(path: Path) -> None:
    kept = journal_path(path).read_bytes()
    Session.create(path.with_name("other"), new_case(2)).close()
    path.write_bytes(path.with_name("other").read_bytes())
    assert opened(path)[:2] == ([], 0)
    assert stray(path).read_bytes() == kept


def test_a_case_that_went_on_elsewhere_does_not_swallow_the_changes_made_here(path: Path) -> None:
    """The file alone was carried to another machine, got as many changes there, and was copied back."""
    here = journal_path(path).read_bytes()
    with as_a_kill_would_leave_it(path) as left:
        journal_path(left).unlink()
        with Session.open(left) as elsewhere:
            for number in (7, 8):
                elsewhere.do(adding(number))
        path.write_bytes(left.read_bytes())
    assert opened(path)[:2] == ([1, 7, 8], 0)
    assert stray(path).read_bytes() == here


def test_an_older_version_put_back_does_not_get_later_changes(path: Path) -> None:
    path.write_bytes(casefile.dumps(new_case(), 0))
    assert opened(path)[:2] == ([], 0)
    assert stray(path).exists()


def test_a_file_edited_by_hand_still_gets_its_journal(path: Path) -> None:
    document = json.loads(path.read_bytes())
    document["label"] = "Renamed by hand"
    path.write_text(json.dumps(document), encoding="utf-8")
    with Session.open(path) as session:
        assert (session.case.title, numbers(session.case)) == ("Renamed by hand", [1, 2, 3])


def test_stray_changes_are_never_written_over(path: Path) -> None:
    stray(path).write_bytes(b"first")
    path.write_bytes(casefile.dumps(new_case(), 0))
    assert opened(path)[:2] == ([], 0)
    assert stray(path).read_bytes() == b"first"
    assert stray(path, 2).exists()


def test_a_new_case_over_an_old_one_keeps_the_old_one_s_journal_apart(path: Path) -> None:
    Session.create(path, new_case(2), overwrite=True).close()
    assert opened(path) == ([], 0, ())
    assert stray(path).exists()


def test_a_save_cut_short_after_the_file_was_in_place_applies_nothing_twice(path: Path) -> None:
    """The journal is emptied last; here it was not, and the case file holds all of it already."""
    with as_a_kill_would_leave_it(path) as left:
        with Session.open(left) as session:
            session.save()
            saved = left.read_bytes()
        mark = Record(3, new_case().id, saved=sha256(saved).hexdigest())
        path.write_bytes(saved)
    with journal_path(path).open("ab") as file:
        file.write(journal.dumps(mark))
    assert opened(path) == ([1, 2, 3], 0, ())


def test_files_that_a_kill_left_half_written_are_swept_away(path: Path) -> None:
    for ending in ("part", "lock"):
        path.with_name(f".annotator-0badcafe0badcafe.{ending}").touch()
    mine = path.with_name(".other.part")
    mine.touch()
    opened(path)
    assert files_in(path.parent) == [mine.name, NAME, f"{NAME}.previous"]


# --- the journal's text --------------------------------------------------------------------------------------

_records = st.builds(
    Record,
    st.integers(1, 2**53),
    st.text(st.characters(exclude_categories=["Cs"])),
    put=st.lists(st.dictionaries(st.just("id"), st.text(st.characters(exclude_categories=["Cs"])))).map(tuple),
    drop=st.lists(st.text(st.characters(exclude_categories=["Cs"]))).map(tuple),
)


@given(st.lists(_records, max_size=4), st.binary(max_size=20))
def test_records_are_read_back_up_to_what_is_torn(records: list[Record], torn: bytes) -> None:
    whole = b"".join(map(journal.dumps, records))
    assert journal.loads(whole) == (tuple(records), len(whole), False)
    assert journal.loads(whole + torn) == (tuple(records), len(whole), b"\n" in torn)


@given(st.lists(_records, min_size=1, max_size=3), st.data())
def test_no_flipped_bit_goes_unnoticed(records: list[Record], data: st.DataObject) -> None:
    """CRC-32 finds every single flipped bit (a property of any CRC whose polynomial has more than one term)."""
    whole = bytearray(b"".join(map(journal.dumps, records)))
    bit = data.draw(st.integers(0, 8 * len(whole) - 1))
    whole[bit // 8] ^= 1 << bit % 8
    found = journal.loads(bytes(whole))
    assert found.is_damaged
    assert found.records == tuple(records[: len(found.records)])


@given(st.lists(_records, min_size=1, max_size=3), st.data())
def test_no_prefix_of_a_journal_reads_as_anything_else(records: list[Record], data: st.DataObject) -> None:
    whole = b"".join(map(journal.dumps, records))
    found = journal.loads(whole[: data.draw(st.integers(0, len(whole)))])
    assert found.records == tuple(records[: len(found.records)])
    assert not found.is_damaged


def test_a_journal_of_nothing_but_ends_of_lines_is_looked_at_once() -> None:
    """A stranger's, of a few bytes when packed; as a list it would take fifty times its size."""
    tracemalloc.start()
    assert journal.loads(b"\n" * 4_000_000) == ((), 0, True)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 20_000_000


@given(st.binary(max_size=300))
def test_any_bytes_are_a_journal_of_nothing(data: bytes) -> None:
    assert journal.loads(data).records == ()


@pytest.mark.parametrize("text", [b"{}", b"[]", b"5", b'{"revision": "1", "case": ""}', b"[" * 5_000, b'"\xff"'])
def test_a_line_with_a_right_checksum_that_is_no_record_is_none(text: bytes) -> None:
    assert journal.loads(b"%08x %b\n" % (crc32(text), text)) == ((), 0, True)


@pytest.mark.parametrize(
    "record",
    [
        Record(2, new_case().id, put=({"no": "id"},)),
        Record(2, new_case().id, put=({"id": "urn:x", "target": 5},)),
        Record(2, new_case().id, head={}),
        Record(2, new_case().id, head={"schemaName": "surgical-step-annotator case", "schemaVersion": VERSION}),
    ],
)
def test_a_forged_journal_is_refused_in_a_sentence(path: Path, record: Record) -> None:
    journal_path(path).write_bytes(journal.dumps(record))
    with pytest.raises(InvalidFile, match=NAME):
        Session.open(path)


def test_a_journal_of_a_later_version_asks_for_the_newest_program(path: Path) -> None:
    journal_path(path).write_bytes(journal.dumps(Record(2, new_case().id, version=VERSION + 1)))
    with pytest.raises(NewerSchema, match="install the latest version"):
        Session.open(path)


def test_changes_are_replayed_on_an_earlier_form_as_that_form_said_it() -> None:
    """A journal of version 1 on a file of version 1, opened by this version; then one of this version on the same."""
    document = json.loads(casefile.dumps(CASE, 1))
    moment = document["first"]["items"][1]
    present = deepcopy(moment)
    del moment["moment"]
    moment["target"][0]["selector"]["value"] = "t=30.031,30.031"
    document["schemaVersion"] = 1
    old = deepcopy(moment) | {"id": "urn:uuid:00000000-0000-4000-8000-000000000001"}
    new = present | {"id": "urn:uuid:00000000-0000-4000-8000-000000000002"}
    records = [Record(2, CASE.id, version=1, put=(old,)), Record(3, CASE.id, put=(new,))]
    case, revision = casefile.case_of(replayed(document, records))
    assert revision == 3
    assert [tag.end == tag.start for tag in case.tags if tag.start == 30_031] == [True] * 3


@pytest.mark.parametrize("sound", [0, 5])
def test_what_is_set_aside_is_kept_whole_and_only_what_is_sound_goes_on(path: Path, sound: int) -> None:
    journal_path(path).write_bytes(b"sound, and not sound")
    kept = set_aside(path, sound) if sound else set_aside(path)
    assert kept is not None
    assert kept.read_bytes() == b"sound, and not sound"
    assert journal_path(path).read_bytes() == b"sound, and not sound"[:sound]
    again = set_aside(path)
    assert again not in (None, kept), "one that is kept already is not written over"
    assert kept.read_bytes() == b"sound, and not sound"
    journal_path(path).unlink()
    assert set_aside(path) is None
