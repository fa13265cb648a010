"""YAML as people write it, and as nobody should."""

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidFile, InvalidVocabulary
from annotator.formats.vocabulary import vocabulary_yaml

HEAD = """\
iri: https://department.example/vocab/ours
name: ours
version: 1.10
title: {en: Ours, no: Våre}
facets:
  - {name: step, label: {en: Step}, exclusive: true}
concepts:
"""


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(InvalidFile) as caught:
        vocabulary_yaml.loads(text)
    return caught.value.faults


def test_plain_words_are_texts() -> None:
    """YAML 1.1 takes `no` for false, 1.10 for a number and 2026-01-01 for a date; here they are what they look like."""
    read = vocabulary_yaml.loads(
        HEAD
        + """\
  - notation: core
    facet: step
    key: 1
    prefLabel: {en: yes, no: nei, de: 2026-01-01}
    altLabel: {en: [on, nose, nullify, true story, 0x1F, 1e3, =, <<]}
"""
    )
    core = read.concepts[0]
    assert (read.version, read.title["no"], core.key) == ("1.10", "Våre", "1")
    assert core.pref_label == {"en": "yes", "no": "nei", "de": "2026-01-01"}
    assert set(core.alt_label["en"]) == {"on", "nose", "nullify", "true story", "0x1F", "1e3", "=", "<<"}


def test_faults_are_told_with_their_lines() -> None:
    with pytest.raises(InvalidVocabulary) as caught:
        vocabulary_yaml.loads(
            HEAD
            + """\
  - notation: core
    facet: stp
    prefLable: {en: Core}
  - notation: base shaving
    facet: step
    prefLabel:
      en: Base shaving
    altLabel:
      en:
        - base shave
        -
"""
        )
    assert caught.value.faults == (
        "line 10, core: a concept has no “prefLable”; did you mean “prefLabel”?",
        "line 8, core: a concept needs “prefLabel”",
        "line 11, base shaving: “base shaving” is not a short name; use letters, digits and hyphens, such as "
        "base-shaving",
        "line 18, base shaving: the text is empty",
    )


def test_names_that_point_nowhere_are_told_with_their_lines() -> None:
    said = faults(HEAD + "  - {notation: core, facet: step, prefLabel: {en: Core}, broader: vitrectomy}\n")
    assert said == ("line 8, core: there is no concept “vitrectomy”",)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a: &x [b]\nc: *x\n", "line 1: anchors (&) and aliases (*) are not read; write the text out"),
        ("a: *x\n", "line 1: anchors (&) and aliases (*) are not read; write the text out"),
        ("a: !!python/object/apply:os.getcwd []\n", "line 1: tags (!) are not read; write plain text"),
        ("\na: !!str b\n", "line 2: tags (!) are not read; write plain text"),
        ("a: 1\nb: 2\na: 3\n", "line 3: “a” is there twice"),
        ("? [a, b]\n: c\n", "line 1: a name before the colon is a plain word"),
        ("[" * 13 + "]" * 13, "line 1: lists and mappings are nested more than 12 deep"),
        ("a: 1\n---\nb: 2\n", "line 2: a second document begins, and only one is read"),
        ("a: [1,\n", "line 2: did not find expected node content"),
        ("a: \0", "unacceptable character #x0000"),
        ("a: \ud800", "'utf-8' codec can't encode character"),
        ("x" * 2_000_001, "2000001 characters are more than the 2000000 that are read"),
    ],
)
def test_what_a_vocabulary_does_not_need_is_refused(text: str, says: str) -> None:
    assert faults(text)[0].startswith(says)


def test_a_small_file_that_would_grow_huge_is_refused_at_once() -> None:
    """“Billion laughs”: ten references to ten references, and so on."""
    layers = [f"l{n}: &l{n} [{', '.join(f'*l{n - 1}' for _ in range(10))}]" for n in range(1, 12)]
    assert "anchors" in faults("\n".join(["l0: &l0 [ha]", *layers]))[0]


def test_deep_nesting_does_not_exhaust_the_stack() -> None:
    assert faults("[" * 100_000)


def test_nothing_at_all_is_no_vocabulary() -> None:
    assert faults("") == ("line 1: a vocabulary is written as “name: value” pairs, the first iri",)


CORE = """\
  - notation: core  # as everybody calls it
    facet: step
    prefLabel: {en: Core}
"""


@pytest.mark.parametrize(
    "concepts",
    [
        CORE,
        f"  # the steps\n\n{CORE}",
        CORE.replace("\n  ", "\n").removeprefix("  "),  # not indented
        f"{CORE}    altLabel:\n      en:\n        - middle\n\n\n# the end",
    ],
)
def test_what_stands_in_a_file_stays_when_concepts_are_added_behind_it(concepts: str) -> None:
    text = HEAD + concepts
    read = vocabulary_yaml.loads(text)
    added = replace(read.concepts[0], iri=f"{read.iri}#rest", notation="rest", pref_label={"en": "Rest: größer"})
    longer = vocabulary_yaml.extended(text, replace(read, concepts=(*read.concepts, added)), [added])
    assert longer.startswith(text.rstrip())
    assert [one.notation for one in vocabulary_yaml.loads(longer).concepts] == ["core", "rest"]


@pytest.mark.parametrize(
    "text", [HEAD + CORE + "version2: x\n", HEAD.replace("concepts:\n", f"concepts:\n{CORE}x: y\n")]
)
def test_where_the_concepts_are_not_the_end_the_file_is_written_anew(text: str) -> None:
    read = vocabulary_yaml.loads(HEAD + CORE)
    added = replace(read.concepts[0], iri=f"{read.iri}#rest", notation="rest")
    whole = replace(read, concepts=(*read.concepts, added))
    assert vocabulary_yaml.loads(vocabulary_yaml.extended(text, whole, [added])) == whole
