"""The bottom line: what was just done, whether keys type or are off, and background work."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QWidget

from annotator.desktop.tasks.task_list import TaskList
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import label, plain_tip, restyle


class StatusLine(QFrame):
    """`works` shows the long work that is under way; what it has to say is said here."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "top")
        self.setFixedHeight(7 * UNIT)
        self._said = _Said()
        self._said.setProperty("kind", "second")
        self._said.setAccessibleName("What was done last")
        self._keys = label("", "second")
        self.tasks = TaskList(theme)
        self.tasks.said.connect(self.say)
        row = QHBoxLayout(self)
        row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        row.setSpacing(4 * UNIT)
        row.addWidget(self._said, 1)
        row.addWidget(self._keys)
        row.addWidget(self.tasks)
        self._ages = QTimer(self, singleShot=True, interval=0)
        self._keys_off = False
        self._typing = self._taken_by = ""
        theme.changed.connect(self._restyle)

    @property
    def said(self) -> str:
        return self._said.text()

    @property
    def keys_text(self) -> str:
        return self._keys.text()

    def say(self, text: str, warns: bool) -> None:
        self._said.setText(text.replace("\n", " "))
        self._said.setAccessibleDescription(self._said.text())
        self._said.setProperty("kind", "warning" if warns else "second")
        restyle(self._said)
        self._ages.start()

    def go_on(self) -> None:
        """The user does something else now: a warning of what went before is over."""
        if self._said.property("kind") == "warning" and not self._ages.isActive():
            self.say("", False)

    def show_typing(self, field: str, taken_by: str = "") -> None:
        """Say which field is typed in, and how it takes what is typed, where that is not by Return."""
        self._typing, self._taken_by = field, taken_by or "Return confirms"
        self._show_keys()

    def show_keys_off(self, off: bool) -> None:
        self._keys_off = off
        self._show_keys()

    def _show_keys(self) -> None:
        typing = f"Typing in {self._typing}: {self._taken_by}, Esc cancels" if self._typing else ""
        self._keys.setText(typing or ("Single-key shortcuts are off" if self._keys_off else ""))

    def _restyle(self) -> None:
        restyle(self._said)


class _Said(QLabel):
    """A line that pushes nothing aside: cut with an ellipsis where it does not fit, and whole in its tip."""

    def __init__(self) -> None:
        super().__init__()
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def paintEvent(self, _event: QPaintEvent) -> None:
        fitting = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
        self.setToolTip(plain_tip(self.text()) if fitting != self.text() else "")
        painter = QPainter(self)
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        role = self.foregroundRole()
        self.style().drawItemText(painter, self.rect(), int(middle), self.palette(), self.isEnabled(), fitting, role)
        painter.end()
