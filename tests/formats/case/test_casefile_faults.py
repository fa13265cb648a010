"""Case files that are no case files: every fault said, each with its place, and nothing but a sentence."""

import json
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import MOST_FAULTS, InvalidFile, NewerSchema
from annotator.formats.case import casefile
from annotator.formats.case.fields import DEEPEST
from annotator.formats.case.upgrades import UPGRADES, VERSION, upgrade
from annotator.model.vocabulary import Concept
from tests.formats.example_case import CASE, REVISION

EXAMPLE = json.loads(casefile.dumps(CASE, REVISION))
BEFORE_FACTS = {key: value for key, value in EXAMPLE.items() if key != "facts"}


def faults_of(document: object) -> tuple[str, ...]:
    with pytest.raises(InvalidFile) as caught:
        casefile.loads(json.dumps(document).encode())
    return caught.value.faults


def changed(change: Callable[[Any], object]) -> Any:
    document = deepcopy(EXAMPLE)
    change(document)
    return document


def annotation(document: Any) -> Any:
    return document["first"]["items"][0]


def selector(document: Any) -> Any:
    return annotation(document)["target"][0]["selector"]


SINGLE_FAULTS: list[tuple[Callable[[Any], object], str]] = [
    (lambda d: d.pop("id"), "id: this key is missing"),
    (lambda d: d.update(id="no iri"), "id: “no iri” is not an IRI such as urn:uuid:"),
    (lambda d: d.update(id=""), "id: “” is not an IRI"),
    (lambda d: d.update(id=5), "id: this must be text"),
    (lambda d: d.update(label=5), "label: this must be text"),
    (lambda d: d.update(label="x" * 10_001), "label: the text is longer than 10000 characters"),
    (lambda d: d.update(revision=-1), "revision: this must be a whole number from 0 to"),
    (lambda d: d.update(revision=True), "revision: this must be a whole number from 0 to"),
    # ECMA-262, Number.MAX_SAFE_INTEGER: beyond it two numbers may read alike.
    (lambda d: d.update(revision=2**53), "revision: this must be a whole number from 0 to 9007199254740991"),
    (lambda d: d.update(eye="lefft"), "eye: “lefft” is not one of right, left; did you mean “left”?"),
    (lambda d: d["facts"][0].pop("value"), "facts[0].value: this key is missing"),
    (lambda d: d["facts"][0].update(value=" "), "facts[0].value: this must be 1 to 200 characters on one line, as in"),
    (lambda d: d["facts"][1].update(fact="a\nb"), "facts[1].fact: this must be 1 to 200 characters on one line"),
    (lambda d: d["facts"][1].update(fact="finding"), "facts[1].fact: “finding” is said twice; say each fact once"),
    (lambda d: d["facts"][1].update(fact="eye"), "facts[1].fact: the eye is a key of the document"),
    (lambda d: d.update(facts=["gauge"]), "facts[0]: this must be an object in braces"),
    (lambda d: d.update(facts=[{}] * 1001), "facts: 1001 facts are more than the 1000 that are read"),
    (lambda d: d.update(recordings=[]), "recordings: a case has 1 to 1000 recordings, and here are 0"),
    (lambda d: d["recordings"][0].pop("durationMs"), "recordings[0].durationMs: this key is missing"),
    (lambda d: d["recordings"][0].update(durationMs=1.5), "recordings[0].durationMs: this must be a whole number"),
    (lambda d: d["recordings"][0].update(frameRate="25/0"), "recordings[0].frameRate: “25/0” is not a rate"),
    (lambda d: d["recordings"][0].update(path=None, frameRate=25), "recordings[0].frameRate: this must be text"),
    (lambda d: d["recordings"][1].update(id=d["recordings"][0]["id"]), "recordings[1].id: “urn:uuid:6f3b0c1e"),
    (lambda d: d["vocabulary"].pop("notation"), "vocabulary: a vocabulary needs “name”"),
    (lambda d: d["vocabulary"]["concepts"][1].update(facet="nowhere"), "vocabulary.concepts[1].facet: there is no"),
    (lambda d: d.pop("vocabulary"), "vocabulary: a vocabulary is written"),
    (lambda d: d.update(first="https://elsewhere.example/page"), "first: this must be an object in braces"),
    (lambda d: d["first"].update(next="urn:next"), "first.next: further pages are not read"),
    (lambda d: d["first"].update(items=[5]), "first.items[0]: this must be an object in braces"),
    (lambda d: annotation(d).update(id=d["first"]["items"][1]["id"]), "first.items[1].id: “urn:uuid:6f3b0c1e"),
    (lambda d: annotation(d).update(created="5 January"), "first.items[0].created: “5 January” is not a date"),
    (lambda d: annotation(d).update(modified="2026-02-30T00:00:00Z"), "first.items[0].modified: “2026-02-30T"),
    (lambda d: annotation(d).update(created="2026-01-05T10:15:00+01:00"), "first.items[0].created: “2026-01-05T"),
    (lambda d: annotation(d).update(performer="techer"), "There is no performer “techer”; available: “teacher”"),
    (lambda d: annotation(d).update(certainty=1), "first.items[0].certainty: this must be text"),
    (lambda d: annotation(d).update(confirmed="yes"), "first.items[0].confirmed: this must be true or false"),
    (lambda d: annotation(d).update(place="13 posterior"), "first.items[0].place: “13 posterior” is not a place"),
    (lambda d: annotation(d).update(creator="x" * 201), "first.items[0].creator: the name is longer than 200"),
    (lambda d: annotation(d).pop("body"), "first.items[0].body: there is no body with the purpose classifying"),
    (lambda d: annotation(d).update(body=["urn:c"]), "first.items[0].body[0]: this must be an object in braces"),
    (lambda d: annotation(d)["body"][0].update(source="a b"), "first.items[0].body[0].source: “a b” is not an IRI"),
    (lambda d: annotation(d).pop("target"), "first.items[0].target: this key is missing"),
    (lambda d: annotation(d).update(target="urn:x"), "first.items[0].target[0]: this must be an object in braces"),
    (lambda d: annotation(d)["target"][0].pop("source"), "first.items[0].target[0].source: this key is missing"),
    (lambda d: annotation(d)["target"][0].update(source="urn:x"), "“urn:x” is not a recording of this case"),
    (lambda d: annotation(d)["target"][0].pop("selector"), "target[0].selector: this must be an object in braces"),
    (lambda d: selector(d).update(value="t=9,3"), "target[0].selector.value: “t=9,3” is not a time range"),
    (lambda d: selector(d).update(value="t=0,61"), "selector.value: this is past the end of its recording"),
    (lambda d: selector(d).update(value="t=99999999"), "selector.value: this is past the end of its recording"),
    (lambda d: annotation(d)["target"].append({"source": CASE.recordings[0].id, "selector": {"value": "t=50,51"}}),
     "first.items[0].target[1]: this part does not start where the one before it ends"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "expected"), SINGLE_FAULTS, ids=[fault for _, fault in SINGLE_FAULTS])
def test_a_fault_is_said_with_its_place(change: Callable[[Any], object], expected: str) -> None:
    said = faults_of(changed(change))
    assert any(expected in fault for fault in said), said


def test_all_faults_are_said_at_once() -> None:
    def spoil(document: Any) -> None:
        for index, one in enumerate(document["first"]["items"]):
            one["created"] = f"day {index}"
        annotation(document)["performer"] = "nobody"

    said = faults_of(changed(spoil))
    assert len(said) == 5
    assert [place.split(":")[0] for place in said] == [
        "first.items[0].performer", *(f"first.items[{index}].created" for index in range(4)),
    ]  # fmt: skip


def test_faults_are_bounded() -> None:
    document = changed(lambda d: d["first"].update(items=[{}] * 10_000))
    with pytest.raises(InvalidFile) as caught:
        casefile.loads(json.dumps(document).encode())
    assert len(caught.value.faults) == MOST_FAULTS
    assert str(caught.value).splitlines()[-1] == "  and 39,949 more", "id, target, body; and all but the first one id"


def test_more_tags_than_are_read_are_refused_before_they_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(casefile, "MOST_TAGS", 3)
    assert faults_of(EXAMPLE) == ("first.items: 4 tags are more than the 3 that are read",)


# --- texts that are no case at all ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "it is not valid JSON"),
        (b"\x00\x01\x02", "it is not text; annotator new makes a case of a recording"),
        (b'{"a": 1', "it is not valid JSON"),
        (b'{"a": "\xff"}', "it is not valid JSON"),
        (b'{"a": "\\ud800x"}', "it is not valid JSON"),
        (b'{"a": NaN}', "it is not valid JSON"),
        (b"[1, 2]", "it does not contain an object"),
        (b"[" * 100_000, "nested too deep"),
        (b'{"a":' * 100_000, "nested too deep"),
        (b"[" + b"[]," * 10_000_001, "it contains more than 20000000 values"),
        (b" " * (casefile.LARGEST + 1), "it is larger than 256 MB"),
        (b"{}", "a case file is JSON that says “schemaName”"),
        (b'{"schemaName": "surgical-step-annotator case"}', "schemaVersion: “None” is not a version"),
        (b'{"schemaName": "surgical-step-annotator case", "schemaVersion": true}', "“True” is not a version"),
        (b'{"schemaName": "surgical-step-annotator case", "schemaVersion": 2}', "id: this key is missing"),
    ],
    ids=lambda value: value[:20] if isinstance(value, bytes) else None,
)
def test_what_is_no_case_is_said_in_a_sentence(data: bytes, expected: str) -> None:
    with pytest.raises(InvalidFile) as caught:
        casefile.loads(data)
    assert expected in str(caught.value)


def test_deep_values_under_unknown_keys_are_refused_before_they_can_break_a_save() -> None:
    deep: Any = 1
    for _ in range(DEEPEST + 1):
        deep = [deep]
    assert f"x: this is nested more than {DEEPEST} levels deep" in faults_of(EXAMPLE | {"x": deep})
    assert casefile.loads(json.dumps(EXAMPLE | {"x": deep[0]}).encode())


_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner, max_size=2),
    max_leaves=3,
)


def _places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every place in the document, however deep."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for key, one in inner for place in _places(one, (*path, key)))]


PLACES = _places({key: value for key, value in EXAMPLE.items() if key != "@context"})[1:]


@given(st.data())
@settings(max_examples=300)
def test_whatever_stands_wherever_it_is_read_or_refused_in_a_sentence(data: st.DataObject) -> None:
    document = deepcopy(EXAMPLE)
    for _ in range(data.draw(st.integers(1, 3))):
        *way, last = data.draw(st.sampled_from(PLACES))
        holder = document
        try:
            for step in way:
                holder = holder[step]
            if data.draw(st.booleans()):
                holder[last] = data.draw(_values)
            else:
                del holder[last]
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change has taken this place away
    try:
        case, revision = casefile.loads(json.dumps(document).encode())
    except InvalidFile as error:
        assert error.faults
        assert "Traceback" not in str(error)
    else:
        assert casefile.loads(casefile.dumps(case, revision)) == (case, revision)


@given(st.binary(max_size=200))
def test_any_bytes_are_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(InvalidFile):
        casefile.loads(data)


@given(st.data())
def test_a_case_file_cut_or_overwritten_anywhere_is_read_or_refused(data: st.DataObject) -> None:
    whole = casefile.dumps(CASE, REVISION)
    at = data.draw(st.integers(0, len(whole) - 1))
    spoilt = data.draw(
        st.sampled_from([whole[:at], whole[:at] + b"\x00" + whole[at + 1 :], whole[:at] + whole[at + 1 :]])
    )
    try:
        casefile.loads(spoilt)
    except InvalidFile as error:
        assert error.faults


# --- versions ------------------------------------------------------------------------------------------------


def test_a_later_version_is_refused_and_the_way_out_said() -> None:
    with pytest.raises(NewerSchema, match="install the latest version") as caught:
        casefile.loads(json.dumps(EXAMPLE | {"schemaVersion": VERSION + 1, "id": 5}).encode())
    assert "written by a later version" in str(caught.value)


def first_version() -> Any:
    """The example as version 1 would have had it: a moment was an empty range, and nothing else told it apart."""
    document = deepcopy(BEFORE_FACTS)
    document["schemaVersion"] = 1
    moment = document["first"]["items"][1]
    del moment["moment"]
    moment["target"][0]["selector"]["value"] = "t=30.031,30.031"
    return document


def test_the_first_version_is_brought_up_to_the_present_one() -> None:
    assert casefile.loads(json.dumps(first_version()).encode()) == (replace(CASE, facts=()), REVISION)
    document = first_version()
    upgrade(document)
    assert document == BEFORE_FACTS


def test_the_second_version_is_read_as_it_is() -> None:
    old = BEFORE_FACTS | {"schemaVersion": 2}
    assert casefile.loads(json.dumps(old).encode()) == (replace(CASE, facts=()), REVISION)


def test_no_key_of_the_vocabulary_is_newer_than_the_version() -> None:
    """Programs refuse a key of a concept that they do not know; by the version they tell that they are too old."""
    said_in_version_2 = {"iri", "notation", "facet", "pref_label", "alt_label", "definition", "scope_note", "broader"}
    said_in_version_2 |= {"key", "usually_after", "replaces"}
    newer = {"begins_when", "ends_when", "any_phase", "operating_time", "kinds", "rules"}
    assert (VERSION, {*Concept.__struct_fields__} - said_in_version_2) == (5, {"inside"} | newer)


def test_every_version_has_a_step_to_the_next() -> None:
    assert len(UPGRADES) == VERSION - 1
    document = deepcopy(EXAMPLE)
    upgrade(document)
    assert document == EXAMPLE


@pytest.mark.parametrize("spoilt", [[5], 5, None, {"items": 5}, {"items": [5, {"target": [5, {"selector": 5}]}]}])
def test_a_spoilt_file_of_an_earlier_version_is_refused_too(spoilt: Any) -> None:
    document = first_version() | {"first": spoilt, "recordings": 5}
    assert faults_of(document)
