"""A field to choose from: words that have no room end in an ellipsis."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QStyle, QStyleOptionComboBox
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.controls import ChoiceBox, choices

WORDS = "trainee under guidance"


def shown(qtbot: QtBot, words: str, width: int, *, selected: bool = True) -> ChoiceBox:
    box = choices("Done by", [words] if selected else ["another"])
    box.setPlaceholderText(words)
    box.setCurrentIndex(0 if selected else -1)
    qtbot.addWidget(box)
    box.resize(width, 26)
    return box


def room_in(box: ChoiceBox) -> int:
    option, part = QStyleOptionComboBox(), QStyle.SubControl.SC_ComboBoxEditField
    box.initStyleOption(option)
    return box.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, box).width()


@pytest.mark.parametrize("selected", [True, False], ids=["selected", "none selected"])
def test_words_without_room_are_cut_between_letters(theme: Theme, qtbot: QtBot, selected: bool) -> None:
    box = shown(qtbot, WORDS, 98, selected=selected)
    cut = QFontMetrics(box.font()).elidedText(WORDS, Qt.TextElideMode.ElideRight, room_in(box))
    assert cut != WORDS
    assert cut.startswith("train")
    assert box.grab().toImage() == shown(qtbot, cut, 98, selected=selected).grab().toImage()
    assert (box.currentText() == WORDS) == selected


def test_words_with_room_stay_whole(theme: Theme, qtbot: QtBot) -> None:
    wide = shown(qtbot, WORDS, 300)
    assert wide.grab().toImage() != shown(qtbot, "trainee under guidanc…", 300).grab().toImage()
