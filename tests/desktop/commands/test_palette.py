"""The command palette answers to the words of a person who does not know the window's own."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QListWidget

from annotator.desktop.commands.actions import BY_NAME
from annotator.desktop.commands.search import (
    ALSO,
    BEGUN,
    CALLED,
    INSIDE,
    NAMED,
    OTHER_WORDS,
    WHOLE,
    Thing,
    best_first,
    rank,
)
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Tag
from annotator.store.vocabularies import find
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of


@pytest.mark.parametrize(
    ("typed", "name", "also", "place"),
    [
        ("", "Faster", "", NAMED),
        ("core", "Core vitrectomy", "", NAMED),
        ("AIR", "Air", "air fill", WHOLE),
        ("fluid air exchange", "Fluid-air exchange", "", WHOLE),
        ("ilm", "Inner limiting membrane peeling", "ILM\nILM peeling", CALLED),
        ("ilm", "Inner limiting membrane staining", "ILM staining", ALSO),
        ("vitr co", "Core vitrectomy", "", BEGUN),
        ("SPEED", "Faster", "speed rate", ALSO),
        ("las", "Base shaving", "", None),
        ("las", "Epiplasty", "", INSIDE),
        ("las", "Endolaser panretinal", "", INSIDE),
        ("probe laser", "Laser probe", "", BEGUN),
        ("zz", "Faster", "speed", None),
    ],
)
def test_how_well_words_fit(typed: str, name: str, also: str, place: int | None) -> None:
    assert rank(typed, name, also) == place


VOCABULARY = find("vitreoretinal")
STEPS = [Thing(one.label(), "\n".join(one.names()), one.iri) for one in VOCABULARY.concepts]


def first_found(typed: str) -> str:
    found = best_first(typed, STEPS, VOCABULARY).numbers
    return STEPS[found[0]].name if found else ""


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("ILM peeled", "Inner limiting membrane peeling"),
        ("removing silicone oil", "Silicone oil removal"),
        ("25G cutter", "Cutter 25 G"),
        ("delaminatoin", "Delamination"),
        ("inferior retinectomy", "Retinectomy"),
        ("qq", ""),
    ],
)
def test_a_step_is_found_by_whatever_people_write_for_it(typed: str, first: str) -> None:
    assert first_found(typed) == first


def test_what_fits_is_told_from_what_is_only_near() -> None:
    near = best_first("delaminatoin", STEPS, VOCABULARY)
    assert (STEPS[near.numbers[0]].name, near.fits) == ("Delamination", False)
    assert best_first("delamination", STEPS, VOCABULARY).fits


def test_without_a_vocabulary_words_mean_themselves() -> None:
    assert best_first("delaminatoin", STEPS, None) == ([], False)
    assert STEPS[best_first("delamination", STEPS, None).numbers[0]].name == "Delamination"


def test_other_words_are_of_actions_that_there_are() -> None:
    assert OTHER_WORDS.keys() <= BY_NAME.keys()


def offered(window: Window) -> list[str]:
    lines = window.command_palette.findChild(QListWidget)
    assert lines is not None
    return [lines.item(row).text() for row in range(lines.count())]


def found(window: Window, words: str) -> list[str]:
    window.command_palette.field.setText(words)
    return offered(window)


@pytest.fixture
def asked(opened: Opener, recording: Path) -> Window:
    window = opened(recording)
    QTest.keySequence(window, "c")
    QTest.keySequence(window, "Ctrl+K")
    return window


def test_it_answers_to_words_of_ones_own(asked: Window) -> None:
    assert "Faster" in found(asked, "speed")
    assert "Publish…" in found(asked, "clip")
    assert "Edit performer in the tag list" in found(asked, "trainee")
    assert "Laser probe" in found(asked, "laser")
    assert "Go to place on the retina" in found(asked, "left eye")
    assert found(asked, "core")[0] == "Core vitrectomy"


def test_it_says_that_there_is_nothing(asked: Window) -> None:
    says = asked.command_palette.findChild(QLabel)
    assert says is not None
    assert found(asked, "speed") and not says.isVisible()
    assert found(asked, "<b>qq") == []
    assert says.isVisible()
    assert "<b>qq" in says.text()


def test_closing_the_case_while_a_step_is_asked_for(asked: Window, opened: Opener) -> None:
    """What is offered was made for the case; it may not be looked at once that is gone."""
    for _ in range(2):
        QTest.keySequence(asked, "Ctrl+L")
        assert "Core vitrectomy" in offered(asked)
        path = controller_of(asked).session.path
        QTest.keySequence(asked, "Ctrl+W")
        assert asked.bench is None
        assert not asked.command_palette.isVisible()
        assert offered(asked) == []
        asked.command_palette.show()
        asked.grab()  # paints every line
        asked.command_palette.hide()
        controller_of(opened(path)).select(controller_of(asked).case.tags[0].id)


def test_the_answer_is_for_the_tag_that_was_asked_about(asked: Window) -> None:
    controller = controller_of(asked)
    first = controller.case.tags[0].id
    other = Tag(edits.new_id(), controller.case.tags[0].concept, 2_002, 3_003)
    controller.do(lambda case: edits.finish(case, first, 1_001))
    controller.do(lambda case: edits.add(case, [other]))
    controller.select(first)
    QTest.keySequence(asked, "Ctrl+L")
    controller.select(other.id)
    QTest.keyClicks(asked.command_palette.field, "air")
    QTest.keyClick(asked.command_palette.field, Qt.Key.Key_Return)
    assert [edits.name_of(controller.case, one) for one in controller.case.tags] == [
        "Air",
        "Core vitrectomy",
    ]


def test_a_tag_that_goes_while_its_step_is_asked_for(asked: Window) -> None:
    controller = controller_of(asked)
    QTest.keySequence(asked, "Ctrl+L")
    controller.undo()
    QTest.keyClick(asked.command_palette.field, Qt.Key.Key_Return)
    assert controller.case.tags == ()
    assert asked.status.said == "The tag whose step was to change is gone"


def test_it_is_as_high_as_what_it_found(window: Window) -> None:
    window.commands.actions["find_command"].trigger()
    all_of_them = window.command_palette.height()
    window.command_palette.field.setText("laser")
    few = window.command_palette.height()
    window.command_palette.field.setText("no such command at all")
    none = window.command_palette.height()
    assert max(none, few) < all_of_them / 2
    window.command_palette.field.clear()
    assert window.command_palette.height() == all_of_them
