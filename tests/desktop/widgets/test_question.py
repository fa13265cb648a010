"""A question over the window: what is asked stands out from what is said of it, and one answer from the others."""

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.question import ask


def test_the_first_answer_is_the_one_filled_button(qtbot: QtBot, theme: Theme) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    answered: list[str] = []
    answers = [("Open it", lambda: answered.append("open")), ("Add it", lambda: answered.append("add"))]
    box = ask(window, "Open it, or add it?", "Nothing is lost.", answers)
    ranks = {one.text().replace("&", ""): one.property("rank") for one in box.buttons()}
    assert ranks == {"Open it": "main", "Add it": None, "Cancel": None}
    assert (box.text(), box.informativeText()) == ("Open it, or add it?", "Nothing is lost.")
    box.buttons()[0].click()
    assert answered == ["open"]


def test_where_to_stay_is_safer_that_is_the_filled_button_and_what_return_gives(qtbot: QtBot, theme: Theme) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    answered: list[str] = []
    box = ask(window, "Stop it?", "", [("Stop", lambda: answered.append("stop"))], "Go on", stay=True)
    stop, stay = box.buttons()
    assert (stop.property("rank"), stay.property("rank")) == (None, "main")
    assert box.defaultButton() is stay
    stay.click()
    assert answered == []


def test_a_name_without_a_place_to_wrap_at_gets_one(qtbot: QtBot, theme: Theme) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    box = ask(window, f"Open “{'a' * 90}.mp4”?", "b" * 90, [("Open it", lambda: None)])
    assert "\u200b" in box.text()
    assert "\u200b" in box.informativeText()
    box.reject()
