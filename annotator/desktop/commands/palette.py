"""Find a command by name: a field and a list over the window, made from the table of actions."""

from collections.abc import Callable, Sequence
from typing import NamedTuple, Self

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QAction, QHideEvent, QIcon, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from annotator.desktop.commands.search import Thing, best_first
from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import row_ground, write
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import LineEdit, key_of, label, words_of
from annotator.model.vocabulary import Vocabulary

_WIDTH = 115 * UNIT
_LINE = ROW + 2
_MOST = 11.5
"""Lines seen at once: a line that is cut says that there are more."""

_NO_ICON = QIcon()


class Offer(NamedTuple):
    """What can be chosen: a value, as the command or the tag that it came from may be gone while it is on screen.

    text  what it is called
    does  what choosing it does
    also  other words that it answers to
    key   as the system writes it
    concept  the IRI of the concept that it is about; empty for none
    """

    text: str
    does: Callable[[], object]
    also: str = ""
    key: str = ""
    icon: QIcon = _NO_ICON
    concept: str = ""

    @classmethod
    def of(cls, action: QAction) -> Self:
        """A command. One that has gone by the time it is chosen does nothing."""

        def trigger() -> None:
            if isValid(action):
                action.trigger()

        also, concept = str(action.property("also") or ""), str(action.data() or "")
        return cls(words_of(action), trigger, also, key_of(action), action.icon(), concept)


class Palette(QFrame):
    """Opens below the top bar; Enter does the chosen command, Escape closes."""

    def __init__(self, window: QWidget, theme: Theme) -> None:
        super().__init__(window)
        self.setAccessibleName("Find command")
        self.setProperty("kind", "sheet")
        self._window = window
        self._offers: Sequence[Offer] = ()
        self._vocabulary: Vocabulary | None = None
        self._found: list[Offer] = []
        self._before: QWidget | None = None
        self.field = LineEdit()
        self.field.setAccessibleName("Find command")
        self.field.textChanged.connect(self._narrow)
        self.field.returnPressed.connect(self._do_chosen)
        self.field.installEventFilter(self)
        leave = QAction(self.field)
        leave.setShortcut("Escape")
        leave.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        leave.triggered.connect(self._leave)
        self.field.addAction(leave)
        self._list = QListWidget()
        self._list.setAccessibleName("Commands")
        self._list.setItemDelegate(_Lines(theme, self._found, self._list))
        self._list.setMouseTracking(True)
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.itemClicked.connect(self._do)
        self._none = label("", "second")
        self._none.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(3 * UNIT, 3 * UNIT, 3 * UNIT, 3 * UNIT)
        column.setSpacing(2 * UNIT)
        column.addWidget(self.field)
        column.addWidget(self._list)
        column.addWidget(self._none)
        self.hide()

    def ask(
        self, offers: Sequence[Offer], asks: str = "What do you want to do?", vocabulary: Vocabulary | None = None
    ) -> None:
        """Show what can be chosen, and what is asked; concepts are found by all that they answer to in a vocabulary."""
        self._vocabulary = vocabulary
        self.field.setPlaceholderText(asks)
        self._before = QApplication.focusWidget()
        self._offers = offers
        self.field.clear()
        self._narrow("")
        self.move((self._window.width() - self.width()) // 2, 14 * UNIT)
        self.show()
        self.raise_()
        self.field.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Up and Down move in the list while the field keeps the focus; without it there is no list."""
        if event.type() == QEvent.Type.FocusOut:
            self.hide()
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            by = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
            if by is not None:
                row = self._list.currentRow() + by
                self._list.setCurrentRow(min(max(row, 0), self._list.count() - 1))
                return True
        return super().eventFilter(watched, event)

    def hideEvent(self, event: QHideEvent) -> None:
        """What was offered may be of a case that is closed next."""
        super().hideEvent(event)
        self._offers = ()
        self._list.clear()
        self._found.clear()

    def _narrow(self, words: str) -> None:
        things = [Thing(offer.text, offer.also, offer.concept) for offer in self._offers]
        found = [self._offers[number] for number in best_first(words, things, self._vocabulary).numbers]
        self._list.clear()
        self._found[:] = found
        for offer in self._found:
            item = QListWidgetItem(offer.text)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{offer.text}, {offer.key}" if offer.key else offer.text)
            self._list.addItem(item)
        self._list.setCurrentRow(0)
        self._list.setVisible(bool(found))
        self._none.setText(f"Nothing here is called “{words}”. Try another word, such as “speed” or “laser”.")
        self._none.setVisible(not found)
        self._fit()

    def _fit(self) -> None:
        """As high as what was found, and no higher than ever so many lines, of which the last is cut: more follow."""
        self._list.setFixedHeight(round(min(len(self._found), _MOST) * _LINE))
        self.setFixedWidth(_WIDTH)
        self.adjustSize()

    def _leave(self) -> None:
        """Close, and give the focus back to whom it was taken from."""
        before = self._before
        self.hide()
        if before is not None and isValid(before) and before.isVisible():
            before.setFocus()

    def _do_chosen(self) -> None:
        item = self._list.currentItem()
        if item is not None:
            self._do(item)

    def _do(self, item: QListWidgetItem) -> None:
        offer = self._found[self._list.row(item)]
        self._leave()
        offer.does()


class _Lines(QStyledItemDelegate):
    """Paints icon, words and, at the right, the key."""

    def __init__(self, theme: Theme, offers: Sequence[Offer], parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._offers = offers

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(50 * UNIT, _LINE)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        offer = self._offers[index.row()]
        colours, area = self._theme.colours, option.rect
        row_ground(painter, option, colours)
        offer.icon.paint(
            painter, QRect(area.left() + 2 * UNIT, area.center().y() - SMALL_ICON // 2, SMALL_ICON, SMALL_ICON)
        )
        painter.setFont(typeface.text())
        words = area.adjusted(9 * UNIT, 0, -3 * UNIT, 0)
        write(painter, words, offer.text, colours.text)
        write(painter, words, offer.key, colours.muted, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
