"""Keys do nothing while a text field has the focus, and the window shows which field it is.

Buttons and lists need fewer keys for themselves, and get those.
"""

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)

_TEXT = (QLineEdit, QPlainTextEdit, QAbstractSpinBox)

_ARROWS = ("Left", "Right", "Up", "Down")

NEEDED_BY_TEXT = frozenset(
    ("Space", "Home", "End", "Delete", "Escape", "Return", "Ctrl+Return", "Ctrl+A", "Ctrl+C")
).union(f"{held}{arrow}" for held in ("", "Shift+", "Ctrl+", "Ctrl+Shift+", "Alt+", "Alt+Shift+") for arrow in _ARROWS)
NEEDED_BY_BUTTONS = frozenset(("Space", "Return"))
NEEDED_BY_CHART = frozenset(("Space", "Escape", "Home", "End", *_ARROWS))
NEEDED_TO_COPY = frozenset(("Ctrl+A", "Ctrl+C"))
"""By what can be copied, but for the tags: there the commands for them do it."""

NEEDED_BY_LISTS = frozenset(("Return", "Enter")).union(
    f"{held}{key}" for held in ("", "Shift+", "Ctrl+") for key in ("Up", "Down", "Home", "End", "PgUp", "PgDown")
)


class FocusWatch(QObject):
    """Looks where the focus goes.

    changed  which text field is typed in, as a sentence says it, empty for none; how it takes what is typed, where
             that is not by Return alone; and the keys that the widget needs
    lost     nothing in the window has the focus any more
    """

    changed = Signal(str, str, object)
    lost = Signal()

    def __init__(self, app: QApplication, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        app.focusChanged.connect(self._look)

    def _look(self, _old: QWidget | None, now: QWidget | None) -> None:
        self.changed.emit(_field_name(now), str(now.property("taken_by") or "") if now else "", _needed(now))
        if now is None and QApplication.activeWindow() is self._window:  # it may be on its way out, and ask no more
            self.lost.emit()


def _field_name(widget: QWidget | None) -> str:
    if not isinstance(widget, _TEXT):
        return ""
    return f"“{widget.accessibleName()}”" if widget.accessibleName() else "a field"


def _needed(widget: QWidget | None) -> frozenset[str]:
    if isinstance(widget, _TEXT):
        return NEEDED_BY_TEXT
    if isinstance(widget, QComboBox):
        return NEEDED_BY_BUTTONS | NEEDED_BY_LISTS
    if widget is not None and widget.property("needs") == "arrows":
        return NEEDED_BY_CHART
    if isinstance(widget, QAbstractButton):
        return NEEDED_BY_BUTTONS
    if isinstance(widget, QAbstractItemView):
        return NEEDED_BY_LISTS if widget.property("holds") == "tags" else NEEDED_BY_LISTS | NEEDED_TO_COPY
    return frozenset()


def give_up_focus(part: QWidget) -> None:
    """Before a part is hidden: Qt would give the focus in it to the next button, and Space would press that."""
    held = part.focusWidget()
    if held is not None and held.hasFocus():
        held.clearFocus()
