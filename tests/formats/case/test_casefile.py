"""The case file: what is written is read back, in the form that is promised, whatever the case."""

import itertools
import json
from collections.abc import Mapping
from typing import Any

import msgspec
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.formats.case import casefile, media_fragment
from annotator.formats.case.layout import laid_out
from annotator.formats.case.tags import pieces_of, to_annotation
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.recording import Recording
from annotator.model.timecode import LATEST
from tests.formats.example_case import CASE, REVISION
from tests.strategies import VOCABULARY, cases, times, unknown_keys


def plain(case: Case, revision: int = 0) -> Any:
    return json.loads(casefile.dumps(case, revision))


def load(document: Mapping[str, Any]) -> Case:
    return casefile.loads(json.dumps(document).encode())[0]


@given(cases(), st.integers(0, 2**53 - 1))
def test_every_case_is_read_back_as_it_was(case: Case, revision: int) -> None:
    data = casefile.dumps(case, revision)
    assert casefile.loads(data) == (case, revision)
    assert casefile.dumps(case, revision) == data


@given(cases())
def test_a_general_json_reader_sees_the_same(case: Case) -> None:
    """Python's own `json`, which nobody here wrote, against msgspec; numbers past 64 bits among them."""
    data = casefile.dumps(case, 1)
    assert json.loads(data) == msgspec.json.decode(data)


@given(cases(most_tags=9), st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), max_size=3))
def test_after_edits_the_text_is_that_of_the_same_case_made_anew(case: Case, edits: list[tuple[int, int]]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 3)
        for changed, dropped in (*edits, (0, 0)):
            anew = replace(case, tags=tuple(replace(tag) for tag in case.tags))
            assert casefile.dumps(case, 1) == laid_out(casefile.document_of(anew, 1))
            put = [replace(tag, note="changed") for tag in case.tags[changed : changed + 1]]
            case = with_tags(case, put, [tag.id for tag in case.tags[dropped : dropped + 1]])
            shorter = [replace(recording, duration=recording.duration + 1) for recording in case.recordings]
            assert casefile.dumps(replace(case, recordings=tuple(shorter)), 1) == laid_out(
                casefile.document_of(replace(case, recordings=tuple(shorter)), 1)
            )


def test_only_blocks_that_an_edit_changed_are_made_text_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tag_list, "MOST", 4)
    tags = tuple(Tag(f"urn:tag:{number}", CASE.tags[0].concept, number, number + 1) for number in range(40))
    case, written = replace(CASE, tags=tags), list[str]()
    casefile.dumps(case, 1)

    def noted(case: Case, tag: Tag) -> dict[str, Any]:
        written.append(tag.id)
        return to_annotation(case, tag)

    monkeypatch.setattr(casefile, "to_annotation", noted)
    casefile.dumps(with_tags(case, [replace(tags[17], note="changed")]), 2)
    assert written == [f"urn:tag:{number}" for number in range(16, 20)]


def test_one_line_holds_one_tag() -> None:
    lines = casefile.dumps(CASE, REVISION).decode().splitlines()
    for tag in CASE.tags:
        assert sum(f'"id":"{tag.id}"' in line for line in lines) == 1
    for concept in CASE.vocabulary.concepts:
        assert sum(f'"id":"{concept.iri}"' in line for line in lines) == 1


def test_a_changed_note_changes_one_line() -> None:
    changed = replace(CASE, tags=(replace(CASE.tags[0], note="Other"), *CASE.tags[1:]))
    before, after = (casefile.dumps(case, 1).decode().splitlines() for case in (CASE, changed))
    assert len(before) == len(after)
    assert sum(one != other for one, other in zip(before, after, strict=True)) == 1


# --- time ----------------------------------------------------------------------------------------------------


def selectors(document: Mapping[str, Any], tag: int) -> list[tuple[str, str]]:
    targets = document["first"]["items"][tag]["target"]
    return [(target["source"], target["selector"]["value"]) for target in targets]


def test_times_are_those_of_the_recording_in_exact_decimals() -> None:
    document = plain(CASE)
    first, second = (recording.id for recording in CASE.recordings)
    assert selectors(document, 0) == [(first, "t=12.48,48.049")]
    assert selectors(document, 2) == [(first, "t=48.049,60"), (second, "t=0,12.5")]


def test_a_moment_is_a_millisecond_that_says_so() -> None:
    document = plain(CASE)
    assert selectors(document, 1) == [(CASE.recordings[0].id, "t=30.031,30.032")]
    assert document["first"]["items"][1]["moment"] is True
    assert all("moment" not in document["first"]["items"][index] for index in (0, 2, 3))


def test_a_running_tag_is_open_in_the_last_recording() -> None:
    first, second = (recording.id for recording in CASE.recordings)
    assert selectors(plain(CASE), 3) == [(second, "t=5")]
    early = replace(CASE, tags=(replace(CASE.tags[3], start=50_000),))
    assert selectors(plain(early), 0) == [(first, "t=50,60"), (second, "t=0")]


@given(times, times)
@example(LATEST, LATEST)
def test_no_time_passes_through_a_float(one: int, other: int) -> None:
    start, end = sorted((one, other))
    case = replace(CASE, recordings=(CASE.recordings[0],), tags=(Tag("urn:t", "urn:c", start, end),))
    back = load(plain(case)).tags[0]
    assert (back.start, back.end) == (start, end)


@given(cases())
def test_the_pieces_of_a_tag_are_the_tag(case: Case) -> None:
    for tag in case.tags:
        parts = list(pieces_of(case, tag))
        assert [part.recording for part in parts] == sorted({part.recording for part in parts})
        assert parts[0].start + case.borders[parts[0].recording] == tag.start
        for one, following in itertools.pairwise(parts):
            assert one.end is not None
            assert one.end > one.start
            assert case.borders[one.recording] + one.end == case.borders[following.recording] + following.start
        for part in parts:
            assert media_fragment.loads(media_fragment.dumps(part.start, part.end)) == (part.start, part.end)


@pytest.mark.parametrize(("written", "ms"), [("t=0.0333333", 34), ("t=0.033", 33), ("t=npt:0:00:01.0000001", 1001)])
def test_another_writer_s_finer_time_becomes_the_next_millisecond(written: str, ms: int) -> None:
    document = plain(CASE)
    document["first"]["items"][3]["target"] = [{"source": CASE.recordings[1].id, "selector": {"value": written}}]
    assert load(document).by_id[CASE.tags[3].id].start == 60_000 + ms


def test_an_open_end_in_an_earlier_recording_is_that_recording_s_end() -> None:
    document = plain(CASE)
    document["first"]["items"][3]["target"] = [{"source": CASE.recordings[0].id, "selector": {"value": "t=50"}}]
    assert load(document).by_id[CASE.tags[3].id].end == 60_000


# --- what this version does not know -------------------------------------------------------------------------


@given(unknown_keys, unknown_keys, unknown_keys)
def test_unknown_keys_survive_at_every_level(one: dict[str, Any], two: dict[str, Any], three: dict[str, Any]) -> None:
    document = plain(CASE)
    document |= one
    document["recordings"][0] |= two
    document["first"]["items"][0] |= three
    back = plain(load(document))
    assert back == document


def test_what_others_said_with_known_keys_survives_too() -> None:
    document = plain(CASE)
    document["@context"].append({"theirs": "https://elsewhere.example/terms#theirs"})
    document["type"] = ["AnnotationCollection", "theirs:Collection"]
    annotation = document["first"]["items"][0]
    annotation["type"] = ["Annotation", "theirs:Annotation"]
    annotation["motivation"] = ["classifying", "assessing"]
    annotation["creator"] |= {"id": "https://elsewhere.example/people/2", "nickname": "two"}
    annotation["body"].append({"type": "TextualBody", "value": "4", "purpose": "assessing"})
    once = plain(load(document))
    assert once == document
    assert plain(load(once)) == document


def test_a_creator_of_another_kind_is_kept_as_it_came() -> None:
    document = plain(CASE)
    software = {"type": "Software", "name": "A detector"}
    document["first"]["items"][1]["creator"] = software
    document["first"]["items"][2]["creator"] = "https://elsewhere.example/people/3"
    case = load(document)
    assert (case.tags[1].author, case.tags[2].author) == ("", "https://elsewhere.example/people/3")
    assert plain(case) == document


def test_an_earlier_context_of_ours_is_replaced_by_the_present_one() -> None:
    document = plain(CASE)
    document["@context"][1] = {"schemaName": "https://surgical-step-annotator.example/terms#schemaName"}
    assert plain(load(document)) == plain(CASE)


# --- cases of the smallest and the largest kind --------------------------------------------------------------


def test_a_case_without_tags_has_no_page() -> None:
    """Web Annotation Data Model, section 5.1 and 5.2: `first` is needed where total is over 0, and no page is empty."""
    document = plain(replace(CASE, tags=()))
    assert document["total"] == 0
    assert not {"first", "last"} & document.keys()
    assert load(document).tags == ()


def test_what_is_not_said_is_not_written() -> None:
    bare = Case("urn:c", "", VOCABULARY, (Recording("urn:r", "", "", 0),), (Tag("urn:t", "urn:k", 0, None),))
    document = plain(bare)
    assert document["recordings"] == [{"id": "urn:r", "type": "Video", "path": "", "fingerprint": "", "durationMs": 0}]
    assert document["first"]["items"][0].keys() == {
        "id", "type", "motivation", "body", "target", "certainty", "confirmed",
    }  # fmt: skip
    assert "eye" not in document


def test_a_byte_order_mark_is_passed_over() -> None:
    assert casefile.loads(b"\xef\xbb\xbf" + casefile.dumps(CASE, 3)) == (CASE, 3)


def test_commas_in_a_note_are_no_values(monkeypatch: pytest.MonkeyPatch) -> None:
    case = replace(CASE, tags=(replace(CASE.tags[0], note=',[{"' * 1_000 + "\\"),))
    monkeypatch.setattr(casefile, "MOST_VALUES", 1_000)
    assert load(plain(case)) == case


def test_cases_of_one_vocabulary_share_it_once_it_is_read() -> None:
    """Reading it takes longer than all tags, and a library has thousands of cases."""
    one, other = casefile.dumps(CASE, 1), casefile.dumps(replace(CASE, id="urn:other"), 1)
    assert casefile.loads(one)[0].vocabulary is casefile.loads(other)[0].vocabulary
