"""A question over the window, with a button for each answer."""

import re
from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import restyle, without_argument

_LONG = re.compile(r"\S{40}(?=\S)")
"""What may need a place to wrap at, as a file's name may have none; the box would grow with it and cut it off."""

Answer = tuple[str, Callable[[], object]]
"""What can be answered, and what is done then."""


def ask(
    window: QWidget, asks: str, more: str, answers: Sequence[Answer], otherwise: str = "Cancel", *, stay: bool = False
) -> QMessageBox:
    """Ask without waiting. Escape and `otherwise` do nothing; Return gives the first answer, with `stay` not."""
    box = QMessageBox(window)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.setWindowTitle("Surgical step annotator")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(_breakable(asks))
    box.setInformativeText(_breakable(more))
    buttons = [box.addButton(text, QMessageBox.ButtonRole.AcceptRole) for text, _ in answers]
    for button, (_, does) in zip(buttons, answers, strict=True):
        button.clicked.connect(without_argument(does))
    none = box.addButton(otherwise, QMessageBox.ButtonRole.RejectRole)
    usual = none if stay else buttons[0]
    usual.setProperty("rank", "main")
    restyle(usual)
    box.setDefaultButton(usual)
    box.setEscapeButton(none)
    layout = box.layout()
    if layout is not None:
        layout.setContentsMargins(6 * UNIT, 5 * UNIT, 6 * UNIT, 4 * UNIT)
    box.open()
    return box


def _breakable(text: str) -> str:
    return _LONG.sub("\\g<0>\u200b", text)
