"""Two versions of a vocabulary, and a case carried from one to the next."""

from pathlib import Path
from typing import Any

from hypothesis import given
from msgspec.structs import replace

from annotator.formats.case import casefile
from annotator.model.case import Case
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.edits import replace_vocabulary, set_kind
from annotator.model.vocabulary import Bound, Concept, Kind, Vocabulary
from annotator.model.vocabulary_change import Carried, TermChange, carry, compare
from annotator.store.vocabularies import find
from tests import strategies
from tests.vocabulary.drawn_by_hand import IRI, PHASE, STEP, case, concept, vocabulary


def changes(old: list[Concept], new: list[Concept]) -> list[tuple[str, str]]:
    """Kind and sentence of each change."""
    return [(change.kind, change.says) for change in compare(vocabulary(*old), vocabulary(*new, version="2"))]


def test_a_vocabulary_is_no_change_from_itself() -> None:
    assert compare(find("vitreoretinal"), find("vitreoretinal")) == ()


@given(drawn=strategies.vocabularies())
def test_no_vocabulary_is_a_change_from_itself_unless_it_says_so(drawn: Vocabulary) -> None:
    if not any(concept.replaces for concept in drawn.concepts):
        assert compare(drawn, drawn) == ()


def test_added_and_removed() -> None:
    assert changes([concept("core")], [concept("shaving")]) == [
        ("removed", "“Core” is gone, and nothing replaces it"),
        ("added", "“Shaving” is new"),
    ]


def test_another_label_under_the_same_iri_is_a_new_name() -> None:
    assert changes([concept("core")], [concept("core", label="Core vitrectomy")]) == [
        ("renamed", "“Core” is now “Core vitrectomy”")
    ]


def test_another_notation_is_a_new_name_where_it_replaces_the_old() -> None:
    expected = [("renamed", "“Core” is now “Core” (core is now centre)")]
    assert changes([concept("core")], [concept("centre", label="Core", replaces=("core",))]) == expected
    assert changes([concept("core")], [concept("centre", label="Core", iri=f"{IRI}#core")]) == expected


def test_a_label_may_change_in_one_language() -> None:
    old, new = concept("core"), concept("core")
    new.pref_label["de"] = "Kern"  # type: ignore[index]  # made here, a plain dict
    assert changes([old], [new]) == [("renamed", "“Core” is now “Core” (changed in de)")]


def test_moved() -> None:
    phases = [concept("access", "phase"), concept("closure", "phase")]
    old, new = concept("gas", broader="access"), concept("gas", broader="closure")
    assert changes([*phases, old], [*phases, new]) == [("moved", "“Gas” went from under access to under closure")]
    assert changes([concept("gas", "event")], [concept("gas", "technique")]) == [
        ("moved", "“Gas” went from the category event to technique")
    ]


def test_a_phase_with_a_new_notation_moves_nothing() -> None:
    old = [concept("access", "phase"), concept("ports", broader="access"), concept("core", usually_after=("ports",))]
    new = [
        concept("entry", "phase", label="Access", replaces=("access",)),
        concept("port", label="Ports", broader="entry", replaces=("ports",)),
        concept("core", usually_after=("port",)),
    ]
    assert {kind for kind, _ in changes(old, new)} == {"renamed"}


def test_re_keyed_reworded_reordered() -> None:
    old = [concept("ports"), concept("core", key="c")]
    new = [concept("ports"), concept("core", key="v", definition={"en": "Gel."}, usually_after=("ports",))]
    assert changes(old, new) == [
        ("re-keyed", "“Core” has the key v in place of c"),
        ("reworded", "“Core” has other synonyms, another definition or another note"),
        ("reordered", "“Core” usually comes after ports"),
    ]
    assert changes(old, [new[0], concept("core")])[0] == ("re-keyed", "“Core” has the key none in place of c")


def test_merged_into_a_new_concept() -> None:
    old = [concept("erm"), concept("ilm"), concept("gas")]
    merged = vocabulary(concept("peeling", replaces=("erm", "ilm")), concept("gas"), version="2")
    assert compare(vocabulary(*old), merged) == (
        TermChange("merged", ("erm", "ilm"), ("peeling",), "“Erm” and “Ilm” are now “Peeling”"),
    )


def test_merged_into_one_that_stays() -> None:
    assert changes([concept("erm"), concept("ilm")], [concept("erm", label="Peeling", replaces=("ilm",))]) == [
        ("merged", "“Erm” and “Ilm” are now “Peeling”"),
        ("renamed", "“Erm” is now “Peeling”"),
    ]


def test_split() -> None:
    parts = [concept("erm", replaces=("peeling",)), concept("ilm", replaces=("peeling",))]
    assert changes([concept("peeling")], parts) == [("split", "“Peeling” is split into “Erm” and “Ilm”")]


def test_split_where_one_part_keeps_the_name() -> None:
    parts = [concept("peeling"), concept("ilm", replaces=("peeling",))]
    assert changes([concept("peeling")], parts) == [("split", "“Peeling” is split into “Peeling” and “Ilm”")]


def test_facets() -> None:
    old = vocabulary(concept("core"), facets=(PHASE, STEP))
    new = vocabulary(concept("core"), facets=(replace(STEP, exclusive=False, moments=True),), version="2")
    assert [change.says for change in compare(old, new)] == [
        "the category phase is gone",
        "the category step may hold several tags at a time now and may hold moments now",
    ]
    assert [change.says for change in compare(new, old)] == [
        "the category step holds one tag at a time now and may hold no moments now",
        "the category phase is new",
    ]
    renamed = vocabulary(concept("core"), facets=(PHASE, replace(STEP, label={"en": "Part"})))
    assert [change.says for change in compare(old, renamed)] == ["the category step has another label"]


def test_another_order() -> None:
    assert changes([concept("a"), concept("b")], [concept("b"), concept("a")]) == [
        ("reordered", "the concepts are in another order")
    ]


# --- carrying a case -----------------------------------------------------------------------------------


def carried(old: list[Concept], new: list[Concept], *tags: tuple[str, int, int | None], **more: Any) -> Carried:
    return carry(case(vocabulary(*old), tags, **more), vocabulary(*new, version="2"))


def terms(result: Carried) -> list[str]:
    return [tag.concept.removeprefix(f"{IRI}#") for tag in result.tags]


def test_a_renamed_concept_is_followed() -> None:
    result = carried([concept("core")], [concept("centre", replaces=("core",))], ("core", 0, 10), ("core", 20, None))
    assert terms(result) == ["centre", "centre"]
    assert result.notes == ("“Core” is now “Centre” (2 tags)",)
    assert all(tag.confirmed for tag in result.tags)


def test_merged_concepts_are_followed() -> None:
    result = carried(
        [concept("erm"), concept("ilm")],
        [concept("peeling", replaces=("erm", "ilm"))],
        *[("erm", 0, 10), ("ilm", 10, 20)],
    )
    assert terms(result) == ["peeling", "peeling"]
    assert result.notes == ("“Erm” is now “Peeling” (1 tag)", "“Ilm” is now “Peeling” (1 tag)")


def test_a_split_concept_is_taken_as_the_first_part_and_left_unconfirmed() -> None:
    parts = [concept("erm", replaces=("peeling",)), concept("ilm", replaces=("peeling",))]
    result = carried([concept("peeling")], parts, ("peeling", 0, 10), note="as seen")
    (tag,) = result.tags
    assert (terms(result), tag.confirmed) == (["erm"], False)
    assert tag.note == "as seen\nwas “Peeling”; may also be “Ilm”"
    assert result.notes == ("“Peeling” is split: taken as “Erm” and unconfirmed, since it may be “Ilm” (1 tag)",)


def test_what_is_gone_keeps_its_old_term() -> None:
    result = carried([concept("core"), concept("gas")], [concept("gas")], ("core", 0, 10), ("gas", 10, 20))
    assert terms(result) == ["core", "gas"]
    assert result.notes == ("“Core” is not in ours 2: the old term is kept (1 tag)",)


def test_a_term_unknown_before_is_found_again() -> None:
    """A concept that one version dropped may come back, or be replaced, in the next."""
    result = carried([], [concept("centre", replaces=("core",)), concept("gas")], ("core", 0, 10), ("gas", 10, 20))
    assert terms(result) == ["centre", "gas"]
    assert result.notes == (f"<{IRI}#core> is now “Centre” (1 tag)", f"<{IRI}#gas> is now “Gas” (1 tag)")


def test_a_department_s_own_vocabulary_is_reached_by_notation() -> None:
    """Only within the same facet: a phase of the same name is another thing."""
    own = vocabulary(
        concept("haemostasis", iri="urn:example:h"), concept("closure", "phase", iri="urn:example:c"), version="2"
    )
    general = find("general")
    tags = [(general.by_notation[notation].iri, 0, 10) for notation in ("haemostasis", "closure")]
    result = carry(case(general, tags), own)
    assert [tag.concept for tag in result.tags] == ["urn:example:h", general.by_notation["closure"].iri]
    assert result.notes == ("“Closure” is not in ours 2: the old term is kept (1 tag)",)


def test_new_overlaps_are_said() -> None:
    old = [concept("a", "technique"), concept("b", "technique")]
    new = [concept("a"), concept("b")]
    result = carried(old, new, ("a", 0, 10), ("b", 5, 15), ("b", 15, 20))
    assert result.notes == (
        "new overlaps in a category that holds one tag at a time (1 tag); `annotator check` lists them",
    )


def test_moments_without_a_place_are_said() -> None:
    result = carried([concept("a", "event")], [concept("a", "technique")], ("a", 5, 5))
    assert result.notes == ("no length, though the category now has no moments (1 tag)",)


@given(drawn=strategies.cases(), new=strategies.vocabularies())
def test_nothing_is_ever_dropped(drawn: Case, new: Vocabulary) -> None:
    """Every tag is there with its time, and each term that is not known to the new vocabulary is told."""
    result = carry(drawn, new)
    assert [(tag.id, tag.start, tag.end) for tag in result.tags] == [(tag.id, tag.start, tag.end) for tag in drawn.tags]
    for before, after in zip(drawn.tags, result.tags, strict=True):
        assert after.note.startswith(before.note)
        if new.concept(after.concept) is None:
            assert after.concept == before.concept
            assert any("the old term is kept" in note for note in result.notes)


def test_other_rules_and_other_limits_of_a_step_are_told() -> None:
    old = concept("gas", kinds=("macular",), any_phase=True, rules=Rules(UsualTime(1, 2), ("posterior",), ("air",)))
    new = concept(
        "gas", operating_time=Bound.ENDS, ends_when={"en": "It is full."}, rules=Rules(changes_performer=True)
    )
    kinds = (Kind("macular", {"en": "Macular"}),)
    air = concept("air")
    before, after = vocabulary(air, old, kinds=kinds), vocabulary(air, new, kinds=kinds, version="2")
    assert [(change.kind, change.says) for change in compare(before, after)] == [
        ("reworded", "“Gas” ends when something else is seen"),
        ("kind", "“Gas” is shown first in no kind of operation"),
        ("rules", "“Gas” always counts for its own phase"),
        ("rules", "“Gas” ends operating time"),
        ("rules", "“Gas” has another usual time"),
        ("rules", "“Gas” has another usual place"),
        ("rules", "“Gas” has another needsBefore: nothing named"),
        ("rules", "“Gas” changes the performer"),
    ]


def test_a_rule_about_a_concept_that_has_another_name_now_is_the_same() -> None:
    old = [concept("air"), concept("gas", rules=Rules(needs_before=("air",)))]
    new = [concept("air-fill", label="Air", replaces=("air",)), concept("gas", rules=Rules(needs_before=("air-fill",)))]
    assert [kind for kind, _ in changes(old, new)] == ["renamed"]


def test_kinds_of_operation_are_compared() -> None:
    lens, macular = Kind("lens", {"en": "Lens"}), Kind("macular", {"en": "Macular"})

    def says(before: tuple[Kind, ...], after: tuple[Kind, ...]) -> list[str]:
        return [change.says for change in compare(vocabulary(kinds=before), vocabulary(kinds=after))]

    assert says((lens,), (macular,)) == ["the kind of operation lens is gone", "the kind of operation macular is new"]
    assert says((lens,), (Kind("lens", {"de": "Linse"}),)) == ["the kind of operation lens has another label"]
    assert says((lens, macular), (macular, lens)) == ["the kinds of operation are in another order"]


def test_a_case_of_1_0_loses_nothing_on_the_way_to_the_present_vocabulary() -> None:
    """The sample as it was tagged with vitreoretinal 1.0, in a case file of that time."""
    old, _ = casefile.loads((Path(__file__).parent / "data" / "sample_of_1_0.case.jsonld").read_bytes())
    assert (old.vocabulary.version, len(old.vocabulary.concepts), len(old.tags)) == ("1.0", 86, 48)
    new = find("vitreoretinal")
    after = replace_vocabulary(old, new, carry(old, new).tags).case
    assert [replace(tag, concept="", confirmed=True, note="") for tag in after.tags] == [
        replace(tag, concept="", confirmed=True, note="") for tag in old.tags
    ]
    assert [after.concept_of(tag) for tag in after.tags].count(None) == 0


def test_a_kind_that_the_new_vocabulary_does_not_have_is_given_up_and_said() -> None:
    used = case(vocabulary(concept("core"), kinds=(Kind("lens", {"en": "Lens"}),)), [("core", 0, 1)])
    used = set_kind(used, "lens").case
    other = vocabulary(concept("core"), version="2")
    carried = carry(used, other)
    assert carried.notes == ("ours 2 has no kind of operation “lens”: it is not specified any more",)
    assert replace_vocabulary(used, other, carried.tags).case.kind == ""
    assert replace_vocabulary(used, used.vocabulary, used.tags).case.kind == "lens"
