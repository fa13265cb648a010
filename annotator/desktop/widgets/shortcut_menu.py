"""Context menus, by right click or the menu key: the same commands as everywhere, beside what they apply to."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPoint, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QMenu, QWidget

from annotator.desktop.widgets.controls import without_argument


class Choice(NamedTuple):
    """What is offered in such a menu alone; `is_on` is for a switch, and None for what is none."""

    text: str
    does: Callable[[], object]
    can_be: bool = True
    is_on: bool | None = None

    @classmethod
    def of(cls, button: QAbstractButton) -> "Choice":
        """What a button does, while it can be pressed."""
        return cls(button.text(), button.click, button.isEnabled())


MenuItem = QAction | Choice | None
"""None is a line between two groups."""


def pop_up(parent: QWidget, at: QPoint, entries: Iterable[MenuItem]) -> None:
    """Open a menu with its corner at a point of the screen."""
    menu = QMenu(parent)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    for entry in entries:
        if entry is None:
            menu.addSeparator()
        elif isinstance(entry, QAction):
            menu.addAction(entry)
        else:
            made = menu.addAction(entry.text.replace("&", "&&"))
            made.setEnabled(entry.can_be)
            made.setCheckable(entry.is_on is not None)
            made.setChecked(bool(entry.is_on))
            made.triggered.connect(without_argument(entry.does))
    menu.popup(at)


class ItemMenu(QObject):
    """Opens the menu of a line of a list: of that under the pointer, by key of the current one."""

    def __init__(self, view: QAbstractItemView, entries: Callable[[QModelIndex], Iterable[MenuItem]]) -> None:
        super().__init__(view)
        self._view = view
        self._entries = entries
        view.installEventFilter(self)
        view.viewport().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QContextMenuEvent):
            return False
        by_key = event.reason() is QContextMenuEvent.Reason.Keyboard
        index = self._view.currentIndex() if by_key else self._view.indexAt(event.pos())
        if index.isValid():
            corner = self._view.viewport().mapToGlobal(self._view.visualRect(index).center())
            pop_up(self._view, corner if by_key else event.globalPos(), self._entries(index))
        return True


def open_by_key() -> None:
    """Open the menu of what has the focus, as the menu key does on keyboards that have one."""
    focused = QApplication.focusWidget()
    if focused is not None:
        middle = focused.rect().center()
        asks = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, middle, focused.mapToGlobal(middle))
        QApplication.sendEvent(focused, asks)
