"""The settings, on one page of the window; available with and without an open case."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.settings.form import SettingsForm
from annotator.desktop.settings.keys_panel import KeysPanel
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import label
from annotator.desktop.widgets.full_page import FullPage

_FORM, _KEYS = 400, 720
"""Widths in pixels; wider lines would only take the eye further from a command to its key."""


class SettingsPage(FullPage):
    def __init__(self, preferences: Preferences, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Settings", theme, parent)
        self.form = SettingsForm(preferences)
        self.keys = KeysPanel(theme)
        self.fault = label("", "warning")
        self.fault.setWordWrap(True)
        self.fault.setContentsMargins(6 * UNIT, 3 * UNIT, 6 * UNIT, 0)
        self.fault.hide()
        self._lay_out()

    def _lay_out(self) -> None:
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setFixedWidth(_FORM)
        self.form.setContentsMargins(0, 0, 4 * UNIT, 0)
        scroll.setWidget(self.form)
        self.keys.setMaximumWidth(_KEYS)
        self.column.addWidget(self.fault)
        self.add_columns(scroll, _line(), self.keys)

    def say(self, fault: str) -> None:
        """Say what of the settings can't be used or kept; empty for nothing."""
        self.fault.setText(fault)
        self.fault.setVisible(bool(fault))

    def take_focus(self) -> None:
        """Begin at the first setting."""
        self.form.theme.setFocus(Qt.FocusReason.OtherFocusReason)


def _line() -> QFrame:
    line = QFrame()
    line.setFixedWidth(1)
    line.setProperty("kind", "line")
    return line
