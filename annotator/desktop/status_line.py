"""The line at the foot: what was just done, and whether keys are for typing or off."""

from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from annotator.desktop.controls import label, restyle
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT


class StatusLine(QFrame):
    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "top")
        self.setFixedHeight(7 * UNIT)
        self._said = label("", "second")
        self._said.setAccessibleName("What was done last")
        self._keys = label("", "second")
        row = QHBoxLayout(self)
        row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        row.addWidget(self._said, 1)
        row.addWidget(self._keys)
        self._keys_off = False
        self._typing = ""
        theme.changed.connect(self._restyle)

    @property
    def said(self) -> str:
        return self._said.text()

    @property
    def keys_text(self) -> str:
        return self._keys.text()

    def say(self, text: str, warns: bool) -> None:
        self._said.setText(text.replace("\n", " "))
        self._said.setProperty("kind", "warning" if warns else "second")
        restyle(self._said)

    def show_typing(self, field: str) -> None:
        self._typing = field
        self._show_keys()

    def show_keys_off(self, off: bool) -> None:
        self._keys_off = off
        self._show_keys()

    def _show_keys(self) -> None:
        typing = f"Typing in “{self._typing}”: Esc gives the keys back" if self._typing else ""
        self._keys.setText(typing or ("Single keys are off" if self._keys_off else ""))

    def _restyle(self) -> None:
        restyle(self._said)
