"""The kind of operation says what the step list shows first, and what is used rises; all else is found by typing."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from annotator.desktop.commands.actions import Keys
from annotator.desktop.preferences.used_terms import (
    MOST_TERMS,
    MOST_VOCABULARIES,
    Used,
    read_used,
    terms_of,
    with_terms,
    write_used,
)
from annotator.desktop.steps.sheet_rows import only, rows_of
from annotator.desktop.steps.shown_first import shown_first
from annotator.model.edits import set_kind
from annotator.model.own_terms import add_term, new_term
from annotator.model.vocabulary import Kind
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag
from tests.vocabulary.drawn_by_hand import case, concept, vocabulary

KINDS = (Kind("macular", {"en": "Macular"}), Kind("buckle", {"en": "Buckle"}))
TERMS = replace(
    vocabulary(
        concept("core", key="c", kinds=("macular",)),
        concept("peel", kinds=("macular",)),
        concept("band", key="b", kinds=("buckle",)),
        concept("rare"),
        concept("bleeding", facet="event"),
        concept("tear", facet="event"),
    ),
    kinds=KINDS,
)
NO_KEYS = Keys({}, {}, ())


def iri(notation: str) -> str:
    return TERMS.by_notation[notation].iri


def shown(
    kind: str = "", used: dict[str, int] | None = None, keys: Keys = NO_KEYS, tags: tuple[str, ...] = ()
) -> set[str]:
    there = replace(case(TERMS, [(one, 0, 1_000) for one in tags]), kind=kind)
    counts = {iri(one): count for one, count in (used or {}).items()}
    return {TERMS.by_iri[one].notation for one in shown_first(there, keys, counts)}


def test_a_kind_shows_its_own_and_none_what_has_a_key() -> None:
    assert shown("macular") == {"core", "peel"}
    assert shown("buckle") == {"band"}
    assert shown() == {"core", "band"}


def test_what_is_tagged_used_often_or_has_a_key_of_the_user_is_shown_besides() -> None:
    assert shown("buckle", tags=("rare",)) == {"band", "rare"}
    assert shown("buckle", used={"peel": 2, "core": 1}) == {"band", "peel"}, "what was used once is not usual yet"
    assert shown("buckle", keys=Keys({}, {iri("rare"): "r", iri("core"): "c"}, ())) == {"band", "rare"}


def test_a_vocabulary_without_kinds_shows_all() -> None:
    assert len(shown_first(case(replace(TERMS, kinds=()), []), NO_KEYS, {})) == len(TERMS.concepts)


def test_a_term_of_the_case_itself_is_shown() -> None:
    there = replace(case(TERMS, []), kind="buckle")
    added = add_term(there, new_term(there, "macular rotation", facet="step")).case
    assert {added.vocabulary.by_iri[one].notation for one in shown_first(added, NO_KEYS, {})} == {
        "band",
        "macular-rotation",
    }


def test_headings_without_rows_go_and_the_others_are_counted() -> None:
    rows = only(rows_of(TERMS, NO_KEYS), {iri("core"), iri("tear")})
    assert [row.text for row in rows] == ["Step", "Core", "Event", "Tear", "4 more: type to find them"]
    assert [row.is_heading for row in rows] == [True, False, True, False, True]


def test_events_used_more_often_come_first_and_steps_stay_in_order() -> None:
    used = {iri("tear"): 3, iri("rare"): 9}
    assert [row.text for row in rows_of(TERMS, NO_KEYS, used)] == [
        *("Step", "Core", "Peel", "Band", "Rare"),
        *("Event", "Tear", "Bleeding"),
    ]


def test_use_is_counted_by_case_and_keeps_no_term_of_a_case_alone() -> None:
    there = case(TERMS, [("core", 0, 1_000), ("core", 2_000, 3_000)])
    term = new_term(there, "macular rotation", facet="step")
    tagged = replace(
        add_term(there, term).case, tags=(*there.tags, replace(there.tags[0], id="urn:x", concept=term.iri))
    )
    assert terms_of(tagged) == {iri("core")}
    used = with_terms(with_terms({}, TERMS.iri, terms_of(tagged)), TERMS.iri, [iri("core"), iri("tear")])
    assert used == {TERMS.iri: {iri("core"): 2, iri("tear"): 1}}
    assert read_used(write_used(used)) == used


def test_what_is_kept_of_use_is_bounded() -> None:
    used: Used = {}
    for number in range(MOST_VOCABULARIES + 5):
        used = with_terms(used, f"urn:{number}", [f"urn:{number}#{term}" for term in range(MOST_TERMS + 5)])
    assert len(used) == MOST_VOCABULARIES
    assert {len(counts) for counts in used.values()} == {MOST_TERMS}
    assert with_terms({}, "urn:x", ["x" * 1_000]) == with_terms({}, "x" * 1_000, ["urn:y"]) == {}


@pytest.mark.parametrize("text", ["", "[]", '{"urn:x": {"urn:y": 0}}', '{"urn:x": {"urn:y": "2"}}'])
def test_what_is_no_such_setting_is_refused(text: str) -> None:
    with pytest.raises(ValueError):  # any ValueError counts as damaged
        read_used(text)


def test_the_kind_is_said_above_the_list_and_can_be_undone(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    window = opened(recording)
    sheet, controller = bench_of(window).sheet, controller_of(window)
    assert controller.case.kind == ""
    before = [row.text for row in sheet.model.shown]
    sheet.kind.setCurrentIndex(sheet.kind.findData("macular"))
    with qtbot.waitSignal(controller.changed):
        sheet.kind.activated.emit(sheet.kind.currentIndex())
    assert controller.case.kind == "macular"
    named = [row.text for row in sheet.model.shown]
    assert named != before
    assert "Subretinal injection" in named
    assert "Encircling band" not in named
    sheet.field.setText("encircling band")
    assert sheet.model.shown[0].text == "Encircling band"
    sheet.field.setText("")
    controller.undo()
    assert [row.text for row in sheet.model.shown] == before
    assert sheet.kind.currentData() == ""
    controller.do(lambda there: set_kind(there, "buckle"))
    assert sheet.kind.currentData() == "buckle"
    rare = controller.case.vocabulary.match("Tissue plug")
    assert sheet.model.row_of(rare.iri) is None
    controller.tag(rare.iri)
    sheet.refresh(controller.at)
    assert sheet.model.row_of(rare.iri) is not None, "what is tagged has its row"
    window.commands.actions["select_kind"].trigger()
    assert sheet.kind.view().isVisible()
    sheet.kind.hidePopup()
    tip = sheet.model.tip(next(row for row in sheet.model.shown if row.text == "Encircling band"))
    assert "<br>Begins: " in tip
    assert "<br>Ends: " in tip


def test_a_case_is_counted_once_for_what_was_first_tagged_in_it(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    terms = controller_of(window).case.vocabulary
    assert window.preferences.used_terms == {}
    window.close_case()
    assert window.preferences.used_terms == {terms.iri: {terms.by_notation["core-vitrectomy"].iri: 1}}
