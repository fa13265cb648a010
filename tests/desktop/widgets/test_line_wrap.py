"""The lines of a list that wraps fit the width it is shown at."""

import pytest
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize
from PySide6.QtWidgets import QApplication, QListWidget, QStyledItemDelegate, QStyleOptionViewItem
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.line_wrap import LineWrap


class Halves(QStyledItemDelegate):
    """Twice as high where the list is narrow."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        view = self.parent()
        assert isinstance(view, QListWidget)
        return QSize(view.viewport().width(), 20 if view.viewport().width() > 250 else 40)


@pytest.mark.parametrize("count", [3, 30])
def test_the_lines_follow_the_width(count: int, qtbot: QtBot) -> None:
    view = QListWidget()
    qtbot.addWidget(view)
    view.setItemDelegate(Halves(view))
    LineWrap(view)
    view.addItems([str(number) for number in range(count)])
    view.resize(400, 200)
    view.show()
    for width, height in ((400, 20), (200, 40), (400, 20)):
        view.resize(width, 200)
        QApplication.processEvents()
        assert [view.visualItemRect(view.item(row)).height() for row in range(2)] == [height, height]
        assert view.visualItemRect(view.item(0)).width() == view.viewport().width()
