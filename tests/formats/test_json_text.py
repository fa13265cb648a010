"""JSON to the letter, but for what a terminal could obey."""

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from annotator.formats import json_text

ANY_JSON = st.recursive(
    st.text() | st.integers() | st.none(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)
)


@given(ANY_JSON)
def test_what_is_written_is_read_back(value: Any) -> None:
    assert json.loads(json_text.dumps(value)) == value


@given(st.text())
def test_nothing_is_left_that_could_be_obeyed(text: str) -> None:
    written = json_text.dumps(["plain", text])
    assert not [one for one in written if one in "\x7f\x85\u2028\u202e\u2066" or (one < " " and one != "\n")]


def test_only_lines_with_something_to_escape_are_touched() -> None:
    assert json_text.dumps({"a": "é", "b": "é\u202e\x7f"}) == '{\n  "a": "é",\n  "b": "é\\u202e\\u007f"\n}'
