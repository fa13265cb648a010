"""Reading the plain form: what is refused, and how that is said."""

from typing import Any

import pytest

from annotator.errors import MOST_FAULTS, InvalidVocabulary
from annotator.formats.vocabulary.form import MOST_CONCEPTS, from_plain, to_plain
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.vocabulary import Bound
from annotator.store.vocabularies import find


def plain(**more: Any) -> dict[str, Any]:
    """A vocabulary of one step."""
    return {
        "iri": "https://department.example/vocab/ours",
        "name": "ours",
        "version": "1",
        "title": {"en": "Ours"},
        "kinds": [{"name": "macular", "label": {"en": "Macular"}}],
        "facets": [{"name": "step", "label": {"en": "Step"}}],
        "concepts": [step()],
        **more,
    }


def step(**more: Any) -> dict[str, Any]:
    return {"notation": "core", "facet": "step", "prefLabel": {"en": "Core"}, **more}


def faults(value: object) -> tuple[str, ...]:
    with pytest.raises(InvalidVocabulary) as caught:
        from_plain(value)
    return caught.value.faults


def test_an_iri_is_implied_by_the_notation() -> None:
    assert from_plain(plain()).concepts[0].iri == "https://department.example/vocab/ours#core"
    other = "https://elsewhere.example/terms/42"
    assert from_plain(plain(concepts=[step(iri=other)])).concepts[0].iri == other


def test_an_iri_gets_no_second_number_sign() -> None:
    """RFC 3986, section 3.5: a fragment holds no #, but it may hold a /."""
    read = from_plain(plain(iri="https://elsewhere.example/v#scheme"))
    assert read.concepts[0].iri == "https://elsewhere.example/v#scheme/core"


def test_only_what_is_said_is_written() -> None:
    assert to_plain(from_plain(plain())) == plain()


def test_what_is_a_set_has_one_order() -> None:
    one = step(altLabel={"en": ["b", "a", "b"]}, replaces=["y", "x"])
    other = step(altLabel={"en": ["a", "b"], "de": []}, replaces=["x", "y", "x"])
    assert from_plain(plain(concepts=[one])) == from_plain(plain(concepts=[other]))


@pytest.mark.parametrize(
    ("spoilt", "says"),
    [
        (step(prefLable={"en": "x"}), "concepts 1, prefLable: a concept has no “prefLable”; did you mean “prefLabel”?"),
        (step(facet="stp"), "concepts 1, facet: there is no facet “stp”; did you mean “step”?"),
        (step(broader="cores"), "concepts 1, broader: there is no concept “cores”; did you mean “core”?"),
        (step(usuallyAfter=["x"]), "concepts 1, usuallyAfter: there is no concept “x”"),
        (step(usuallyAfter="core"), "concepts 1, usuallyAfter: this must be a list of notations"),
        (
            step(prefLabel="Core"),
            "concepts 1, prefLabel: this must be given by language, such as {en: Core",
        ),
        (step(prefLabel={}), "concepts 1, prefLabel: this must be given by language"),
        (step(prefLabel={"en": 3}), "concepts 1, prefLabel, en: this must be text"),
        (step(prefLabel={"en": None}), "concepts 1, prefLabel, en: the text is empty"),
        (step(prefLabel={"en": " \u00a0"}), "concepts 1, prefLabel, en: the text is empty"),
        (step(prefLabel={"en": "a\0b"}), "concepts 1, prefLabel, en: the text contains the character U+0000"),
        (step(prefLabel={"en": "a\ud800"}), "concepts 1, prefLabel, en: the text contains the character U+D800"),
        (step(prefLabel={"en": "x" * 10_001}), "concepts 1, prefLabel, en: the text is longer than 10000 characters"),
        (step(prefLabel={"en_GB": "x"}), "concepts 1, prefLabel: “en_GB” is not a language tag; write one such as en"),
        (step(prefLabel={"en": "x", "EN": "y"}), "concepts 1, prefLabel: “en” and “EN” are one language (SKOS S14)"),
        (step(altLabel={"en": "core"}), "concepts 1, altLabel, en: synonyms must be a list"),
        (step(altLabel={"en": ["a", ""]}), "concepts 1, altLabel, en 2: the text is empty"),
        (step(kinds=["macula"]), "concepts 1, kinds: there is no kind “macula”; did you mean “macular”?"),
        (step(operatingTime="start"), "concepts 1, operatingTime: “start” is not one of begins, ends"),
        (step(anyPhase="yes"), "concepts 1, anyPhase: “yes” is neither true nor false"),
        (step(endsWhen="It ends."), "concepts 1, endsWhen: this must be given by language"),
        (step(rules=[]), "concepts 1, rules: a set of rules is written as “name: value” pairs, the first usualTime"),
        (step(rules={"usual": 1}), "concepts 1, rules, usual: a set of rules has no “usual”"),
        (
            step(rules={"usualTime": {"most": "an hour"}}),
            "concepts 1, rules, usualTime, most: “an hour” is not a length of time; write M:SS or H:MM:SS",
        ),
        (step(rules={"usualTime": "0:20"}), "concepts 1, rules, usualTime: a usual time is written as"),
        (step(rules={"usualPlace": "posterior"}), "concepts 1, rules, usualPlace: this must be a list of texts"),
        (step(rules={"usualPlace": [""]}), "concepts 1, rules, usualPlace 1: the text is empty"),
        (
            step(rules={"neverWith": ["cor"]}),
            "concepts 1, rules, neverWith: there is no concept “cor”; did you mean “core”?",
        ),
        (step(rules={"changesPerformer": 1}), "concepts 1, rules, changesPerformer: “1” is neither true nor false"),
        (step(notation="base shaving"), "concepts 1, notation: “base shaving” is not a short name"),
        (step(iri="not an iri"), "concepts 1, iri: “not an iri” is not an IRI"),
        (step(iri="https://a.example/<b>"), "concepts 1, iri: “https://a.example/<b>” is not an IRI"),
        ("core", "concepts 1: a concept is written as “name: value” pairs, the first notation"),
        ({"notation": "core", "facet": "step"}, "concepts 1: a concept needs “prefLabel”"),
    ],
)
def test_a_fault_says_where_and_what_to_write(spoilt: object, says: str) -> None:
    (fault,) = faults(plain(concepts=[spoilt]))
    assert fault.startswith(says)


def test_two_things_do_not_share_a_name() -> None:
    (fault,) = faults(plain(concepts=[step(), step(iri="urn:example:other")]))
    assert fault == (
        "concepts 2, notation: the notation “core” is taken already (concepts 1, notation); each needs its own"
    )
    (fault,) = faults(plain(concepts=[step(iri="urn:example:a"), step(notation="b", iri="urn:example:a")]))
    assert fault.startswith("concepts 2, iri: the iri “urn:example:a” is taken already")
    (fault,) = faults(plain(facets=[{"name": "step", "label": {"en": "Step"}}] * 2))
    assert fault.startswith("facets 2, name: the name “step” is taken already")


def test_every_fault_is_said_at_once() -> None:
    said = faults({"iri": "x", "name": "ours", "facets": {}, "concepts": [step(key=1), 4], "titel": {"en": "Ours"}})
    assert said == (
        "titel: a vocabulary has no “titel”; did you mean “title”?",
        "a vocabulary needs “version”",
        "a vocabulary needs “title”",
        "iri: “x” is not an IRI; write one such as https://department.example/vocab/ours",
        "facets: the facets are written as a list, each with a dash before it",
        "concepts 1, key: this must be text",
        "concepts 2: a concept is written as “name: value” pairs, the first notation",
    )


def test_a_flood_of_faults_is_dammed() -> None:
    with pytest.raises(InvalidVocabulary) as caught:
        from_plain(plain(concepts=[{}] * MOST_CONCEPTS))
    assert len(caught.value.faults) == MOST_FAULTS
    assert str(caught.value).splitlines()[-1] == "  and 14,950 more", "each lacks its notation, facet and label"


def test_too_many_concepts_are_not_read() -> None:
    (fault,) = faults(plain(concepts=[step()] * (MOST_CONCEPTS + 1)))
    assert fault == "concepts: 5001 concepts are more than the 5000 that are read; leave some out"


@pytest.mark.parametrize("value", [None, 3, "text", [], True, {}])
def test_what_is_no_mapping_is_refused(value: object) -> None:
    assert faults(value)


@pytest.mark.parametrize("tag", ["en", "de-AT", "zh-Hant", "x-own", "i-klingon", "sl-rozaj-biske-1994"])
def test_language_tags_of_rfc_5646_are_read(tag: str) -> None:
    """Examples in the manner of RFC 5646, appendix A, from memory."""
    assert from_plain(plain(title={tag: "Ours"})).title == {tag: "Ours"}


@pytest.mark.parametrize(
    "tag", ["", "e", "en-", "-en", "en--GB", "en_GB", "englishlanguage", "en-abcdefghi", "ä", "12"]
)
def test_what_no_language_tag_can_be_is_refused(tag: str) -> None:
    assert faults(plain(title={tag: "Ours"}))


def test_nothing_is_written_that_is_implied_or_empty() -> None:
    for concept in to_plain(find("general"))["concepts"]:
        assert "iri" not in concept
        assert all(concept.values())


def test_what_is_said_of_a_step_comes_back() -> None:
    said = plain(
        concepts=[
            step(
                beginsWhen={"en": "The cutter cuts."},
                endsWhen={"en": "The middle is clear."},
                anyPhase=True,
                operatingTime="begins",
                kinds=["macular"],
                rules={
                    "usualTime": {"least": "0:00.500", "most": "1:05:00"},
                    "usualPlace": ["posterior"],
                    "needsBefore": ["core"],
                    "changesPerformer": True,
                },
            )
        ]
    )
    read = from_plain(said)
    assert to_plain(read) == said
    core = read.concepts[0]
    assert core.rules == Rules(UsualTime(500, 3_900_000), ("posterior",), ("core",), changes_performer=True)
    assert (core.operating_time, core.any_phase, core.kinds) == (Bound.BEGINS, True, ("macular",))
    assert (read.kind("macular").label, read.has_kind("lens")) == ({"en": "Macular"}, False)


def test_a_kind_is_there_once() -> None:
    twice = [{"name": "macular", "label": {"en": "Macular"}}, {"name": "macular", "label": {"en": "Macula"}}]
    assert faults(plain(kinds=twice)) == (
        "kinds 2, name: the name “macular” is taken already (kinds 1, name); each needs its own",
    )
