"""Every format gives back what it was given, and takes nothing that it can't read for something else."""

import json
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.case import casefile
from annotator.formats.vocabulary import skos, vocabulary_csv, vocabulary_yaml
from annotator.formats.vocabulary.form import from_plain, to_plain
from annotator.model.vocabulary import Vocabulary
from annotator.store.vocabularies import find
from tests import strategies
from tests.vocabulary.drawn_by_hand import case

FORMATS = [vocabulary_yaml, vocabulary_csv, skos]
BUILT_IN = ["vitreoretinal", "cataract", "general"]

every_format = pytest.mark.parametrize("form", FORMATS, ids=lambda form: form.__name__.rpartition(".")[2])
without_hurry = settings(deadline=None)


@every_format
@given(vocabulary=strategies.vocabularies())
@without_hurry
def test_a_format_gives_back_what_it_was_given(form: ModuleType, vocabulary: Vocabulary) -> None:
    text = form.dumps(vocabulary)
    assert form.loads(text) == vocabulary
    assert form.dumps(form.loads(text)) == text


@every_format
@pytest.mark.parametrize("name", BUILT_IN)
def test_a_format_keeps_what_is_built_in(form: ModuleType, name: str) -> None:
    vocabulary = find(name)
    assert form.loads(form.dumps(vocabulary)) == vocabulary


@given(vocabulary=strategies.vocabularies())
@without_hurry
def test_the_plain_form_is_json_and_comes_back(vocabulary: Vocabulary) -> None:
    assert from_plain(json.loads(json.dumps(to_plain(vocabulary)))) == vocabulary


@given(vocabulary=strategies.vocabularies())
@without_hurry
def test_a_case_file_keeps_the_vocabulary_inside_it(vocabulary: Vocabulary) -> None:
    read, _ = casefile.loads(casefile.dumps(case(vocabulary, []), 1))
    assert read.vocabulary == vocabulary


@every_format
@given(text=st.text(max_size=200))
@without_hurry
def test_any_text_is_read_or_refused(form: ModuleType, text: str) -> None:
    _read_or_refused(form, text)


@every_format
@given(data=st.data())
@without_hurry
def test_a_spoilt_vocabulary_is_read_or_refused(form: ModuleType, data: st.DataObject) -> None:
    text = form.dumps(strategies.VOCABULARY)
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 30)))
        piece = data.draw(
            st.sampled_from(["", "\n", ":", "  ", '"', ",", ";", ".", "- ", "<a>", "{", "\0", "\ud800", "&a"])
        )
        text = text[:start] + piece + text[end:]
    _read_or_refused(form, text)


def _read_or_refused(form: ModuleType, text: str) -> None:
    try:
        read = form.loads(text)
    except InvalidFile as error:
        assert error.faults
    else:
        assert isinstance(read, Vocabulary)
        form.loads(form.dumps(read))


@given(
    plain=st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["iri", "name", "facets", "concepts", "notation", "prefLabel", "en"]), inner
            )
        ),
        max_leaves=20,
    )
)
def test_any_plain_form_is_read_or_refused(plain: Any) -> None:
    try:
        from_plain(plain)
    except InvalidFile as error:
        assert error.faults
