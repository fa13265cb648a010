"""A label that takes all the lines it needs, and no more."""

from PySide6.QtWidgets import QApplication, QPlainTextEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.labels import WrappedLabel


def test_a_wrapped_label_gives_back_the_lines_it_needs_no_more(qtbot: QtBot) -> None:
    around, words = QWidget(), WrappedLabel()
    qtbot.addWidget(around)
    column = QVBoxLayout(around)
    column.addWidget(words)
    column.addWidget(QPlainTextEdit(), 1)
    around.show()
    words.say("Once it has more width, it takes fewer lines, and what is below it moves up")
    heights = []
    for width in (900, 300, 900):
        around.resize(width, 400)
        QApplication.processEvents()
        QApplication.processEvents()
        heights.append(words.height())
    assert heights[1] > heights[0] == heights[2]
