"""A button with words that calls a function."""

from collections.abc import Callable

from PySide6.QtCore import Qt

from annotator.desktop.command_set import without_argument
from annotator.desktop.controls import PushButton


def word_button(text: str, does: Callable[[], object], name: str = "") -> PushButton:
    """`name` tells screen readers more than the words do, where these need their surroundings to be understood."""
    made = PushButton(text)
    made.setAccessibleName(name or text)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.clicked.connect(without_argument(does))
    return made
