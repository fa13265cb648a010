"""Case files are laid out for people and version control: one tag, one line, and the same values as any JSON."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.case.layout import laid_out

values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("abc", max_size=3), inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.text("abc", max_size=3), values, max_size=4))
def test_a_general_reader_gets_the_same_values_in_the_same_order(document: dict[str, Any]) -> None:
    text = laid_out(document)
    assert json.loads(text) == document
    assert list(json.loads(text)) == list(document)
    assert text.endswith(b"\n")
    assert b"\n\n" not in text


def test_a_tag_stands_on_one_line_under_those_that_hold_it() -> None:
    document = {"id": "x", "first": {"items": [{"a": [1, {"b": 2}]}, {"c": 3}]}, "flat": [1, 2]}
    assert laid_out(document).decode() == (
        "{\n"
        '  "id": "x",\n'
        '  "first": {\n'
        '    "items": [\n'
        '      {"a":[1,{"b":2}]},\n'
        '      {"c":3}\n'
        "    ]\n"
        "  },\n"
        '  "flat": [1,2]\n'
        "}\n"
    )


@pytest.mark.parametrize("empty", [{}, {"a": {}}, {"a": []}, {"a": [{}]}])
def test_what_is_empty_is_json_too(empty: dict[str, Any]) -> None:
    assert json.loads(laid_out(empty)) == empty
