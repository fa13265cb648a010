"""Find a command by name: a field and a list over the window, made from the table of actions."""

from collections.abc import Sequence
from operator import itemgetter

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QAction, QColor, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from annotator.desktop import typeface
from annotator.desktop.controls import key_of, label
from annotator.desktop.found_by import rank
from annotator.desktop.paint import write
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import ROW, UNIT


class Finder(QFrame):
    """Opens below the top bar; Enter does the chosen command, Escape closes."""

    def __init__(self, window: QWidget, theme: Theme) -> None:
        super().__init__(window)
        self.hide()
        self.setAccessibleName("Find a command")
        self.setProperty("kind", "sheet")
        self._window = window
        self._actions: Sequence[QAction] = ()
        self._before: QWidget | None = None
        self.field = QLineEdit()
        self.field.setAccessibleName("Find a command")
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
        self._list.setItemDelegate(_Lines(theme, self._list))
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.itemClicked.connect(self._do)
        self._none = label("", "second")
        self._none.setWordWrap(True)
        self._none.setTextFormat(Qt.TextFormat.PlainText)
        column = QVBoxLayout(self)
        column.setContentsMargins(3 * UNIT, 3 * UNIT, 3 * UNIT, 3 * UNIT)
        column.setSpacing(2 * UNIT)
        column.addWidget(self.field)
        column.addWidget(self._list, 1)
        column.addWidget(self._none)
        column.addStretch(0)

    def ask(self, actions: Sequence[QAction], asks: str = "What do you want to do?") -> None:
        """Show those of the actions that can be used now, and what is asked."""
        self.field.setPlaceholderText(asks)
        self._before = QApplication.focusWidget()
        self._actions = [action for action in actions if action.isEnabled()]
        self.field.clear()
        self._narrow("")
        self.resize(460, 400)
        self.move((self._window.width() - self.width()) // 2, 56)
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

    def _narrow(self, words: str) -> None:
        ranked = [(rank(words, action.text(), str(action.property("also") or "")), action) for action in self._actions]
        found = sorted(((place, action) for place, action in ranked if place is not None), key=itemgetter(0))
        self._list.clear()
        for _, action in found:
            key = key_of(action)
            item = QListWidgetItem(action.text())
            item.setData(Qt.ItemDataRole.UserRole, action)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{action.text()}, {key}" if key else action.text())
            self._list.addItem(item)
        self._list.setCurrentRow(0)
        self._list.setVisible(bool(found))
        self._none.setText(f"Nothing here is called “{words}”. Try another word, such as “speed” or “laser”.")
        self._none.setVisible(not found)

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
        self._leave()
        action = item.data(Qt.ItemDataRole.UserRole)
        if isinstance(action, QAction):
            action.trigger()


class _Lines(QStyledItemDelegate):
    """Paints icon, words and, at the right, the key."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(200, ROW + 2)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        action: QAction = index.data(Qt.ItemDataRole.UserRole)
        colours, area = self._theme.colours, option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.accent_ground))
        action.icon().paint(painter, QRect(area.left() + 2 * UNIT, area.center().y() - 8, 17, 17))
        painter.setFont(typeface.text())
        words = area.adjusted(9 * UNIT, 0, -3 * UNIT, 0)
        write(painter, words, action.text(), colours.text)
        write(
            painter, words, key_of(action), colours.muted, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        )
