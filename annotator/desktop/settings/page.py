"""The settings, on one page of the window; available with and without an open case."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.settings.form import SettingsForm
from annotator.desktop.settings.keys_panel import KeysPanel
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ICON_BUTTON, SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, bar, label

_FORM, _KEYS = 400, 720
"""Widths in pixels; wider lines would only take the eye further from a command to its key."""


class SettingsPage(QWidget):
    """closed  the user wants back what was there before"""

    closed = Signal()

    def __init__(self, preferences: Preferences, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName("Settings")
        self._theme = theme
        self.form = SettingsForm(preferences)
        self.keys = KeysPanel(theme)
        self.fault = label("", "warning")
        self.fault.setWordWrap(True)
        self.fault.setContentsMargins(6 * UNIT, 3 * UNIT, 6 * UNIT, 0)
        self.fault.hide()
        self._close = PushButton()
        self._close.setAccessibleName("Close the settings")
        self._close.setToolTip("Close the settings (Esc)")
        self._close.setProperty("rank", "quiet")
        self._close.setFixedWidth(ICON_BUTTON)
        self._close.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._close.clicked.connect(self.closed)
        leave = QAction(self)
        leave.setShortcut("Escape")
        leave.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        leave.triggered.connect(self.closed)
        self.addAction(leave)
        self._lay_out()
        theme.changed.connect(self._paint_icon)
        self._paint_icon()

    def _lay_out(self) -> None:
        head, row = bar("bottom")
        row.addWidget(label("Settings", "title"))
        row.addStretch(1)
        row.addWidget(self._close)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setFixedWidth(_FORM)
        self.form.setContentsMargins(0, 0, 4 * UNIT, 0)
        scroll.setWidget(self.form)
        self.keys.setMaximumWidth(_KEYS)
        columns = QHBoxLayout()
        columns.setContentsMargins(6 * UNIT, 5 * UNIT, 6 * UNIT, 5 * UNIT)
        columns.setSpacing(6 * UNIT)
        columns.addStretch(1)
        columns.addWidget(scroll)
        columns.addWidget(_line())
        columns.addWidget(self.keys, 100)
        columns.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.fault)
        column.addLayout(columns, 1)

    def say(self, fault: str) -> None:
        """Say what of the settings can't be used or kept; empty for nothing."""
        self.fault.setText(fault)
        self.fault.setVisible(bool(fault))

    def take_focus(self) -> None:
        """Begin at the first setting."""
        self.form.theme.setFocus(Qt.FocusReason.OtherFocusReason)

    def _paint_icon(self) -> None:
        self._close.setIcon(icon(Icon.CLOSE, self._theme.colours))


def _line() -> QFrame:
    line = QFrame()
    line.setFixedWidth(1)
    line.setProperty("kind", "line")
    return line
