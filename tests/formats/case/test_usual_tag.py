"""Annotations in the usual form are read in one step, and as the reader that tells faults reads them."""

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.case import tags as reading
from annotator.formats.case.fields import json_place
from annotator.formats.case.tags import AnnotationReader, to_annotation
from annotator.formats.case.usual_tag import usual_tag
from annotator.formats.faults import Faults
from annotator.model.case import Case, Tag
from annotator.model.timecode import HOUR
from tests.formats import example_case
from tests.strategies import cases

ODD: tuple[Any, ...] = (
    *(None, "", " ", 0, 1, True, [], {}, "x" * 201, "x" * 10_001, "urn:a b", "urn:ok", "nonsense", "13 posterior"),
    *("2026-02-30T10:00:00Z", "2026-11-24T20:15:00Z", "teacher", "certain", ["commenting"]),
    *("t=1,2", "t=2,1", "t=1", "t=0:01,0:02", "t=1.2345,9", f"t=0,{2000 * HOUR}"),
    *([{"type": "Person", "name": "N"}], {"type": "Person", "name": "N"}, {"type": "Person", "name": "N", "x": 1}),
)


def read(case: Case, plain: Any) -> tuple[Tag | None, list[str]]:
    """The tag, or what is said against it; where something is, the tag counts for nothing."""
    faults = Faults(json_place)
    tag = AnnotationReader(case, faults).tag(msgspec.json.decode(msgspec.json.encode(plain)), ("tag",))
    return (None, faults.said) if faults.said else (tag, [])


def places(plain: Any) -> list[tuple[Any, Any]]:
    """Every object or list in a value, with each of its keys."""
    if not isinstance(plain, dict | list):
        return []
    keys: list[Any] = list(plain) if isinstance(plain, dict) else list(range(len(plain)))
    return [(plain, key) for key in keys] + [place for key in keys for place in places(plain[key])]


@given(cases(), st.data())
def test_what_is_read_in_one_step_is_what_is_read_key_by_key(case: Case, data: st.DataObject) -> None:
    for tag in case.tags:
        plain = msgspec.json.decode(msgspec.json.encode(to_annotation(case, tag)))
        for holder, key in data.draw(st.lists(st.sampled_from(places(plain)), max_size=2), label="changed"):
            if isinstance(holder, dict) and data.draw(st.booleans(), label="taken out"):
                holder.pop(key, None)
            elif isinstance(holder, list) and data.draw(st.booleans(), label="twice"):
                holder += holder[key : key + 1]
            elif isinstance(holder, dict) or key < len(holder):
                holder[key] = data.draw(st.sampled_from(ODD), label="put in")
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(reading, "usual_tag", lambda _plain: None)
            key_by_key = read(case, plain)
        assert read(case, plain) == key_by_key


@given(cases())
def test_what_this_program_writes_of_one_recording_is_in_the_usual_form(case: Case) -> None:
    """Or a case of tens of thousands of tags would take long to open."""
    for tag in case.tags:
        plain = msgspec.json.decode(msgspec.json.encode(to_annotation(case, tag)))
        is_plain = not tag.extra and len(plain["target"]) == 1
        assert (usual_tag(plain) is not None) or not is_plain


def test_a_creator_of_no_type_is_no_person() -> None:
    """What is said of it is kept as it stands, with the key that it lacks."""
    case = example_case.CASE
    plain = msgspec.json.decode(msgspec.json.encode(to_annotation(case, case.tags[0])))
    assert usual_tag(plain) is not None
    del plain["creator"]["type"]
    assert usual_tag(plain) is None
