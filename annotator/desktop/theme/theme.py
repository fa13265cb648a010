"""From tokens to Qt: the palette, and the choice of theme.

Views ask `theme.colours` while they paint and repaint on `theme.changed`; nobody else knows a colour.
"""

from enum import StrEnum

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from annotator.desktop.theme import typeface
from annotator.desktop.theme.stylesheet import stylesheet
from annotator.desktop.theme.tokens import DARK, LIGHT, Colours


class Choice(StrEnum):
    """What the user wants: as the system has it, or always one of the two."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


class Theme(QObject):
    """The theme in force."""

    changed = Signal()
    _sheet_changed = Signal(str)

    def __init__(self, app: QApplication, choice: Choice = Choice.SYSTEM) -> None:
        super().__init__(app)
        self._app = app
        self._choice = choice
        app.setStyle("Fusion")
        app.setFont(typeface.text())
        app.styleHints().colorSchemeChanged.connect(self._apply)
        self._apply()

    @property
    def choice(self) -> Choice:
        return self._choice

    @property
    def is_dark(self) -> bool:
        if self._choice is Choice.SYSTEM:
            return self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        return self._choice is Choice.DARK

    @property
    def colours(self) -> Colours:
        return DARK if self.is_dark else LIGHT

    def choose(self, choice: Choice) -> None:
        self._choice = choice
        self._apply()

    def toggle(self) -> None:
        """The other one of light and dark, from now on whatever the system says."""
        self.choose(Choice.LIGHT if self.is_dark else Choice.DARK)

    def dress(self, window: QWidget) -> None:
        """Give a window and all that is in it the style sheet, now and whenever the theme changes.

        The window has it and not the application, where Qt works it out anew for every part of a page each time that a
        part is put into another one: nearly half of the time in which a case opens.
        """
        window.setStyleSheet(self._sheet())
        self._sheet_changed.connect(window.setStyleSheet)

    def _sheet(self) -> str:
        return stylesheet(self.colours, "dark" if self.is_dark else "light")

    def _apply(self) -> None:
        self._app.setPalette(palette(self.colours))
        self._sheet_changed.emit(self._sheet())
        self.changed.emit()


def palette(colours: Colours) -> QPalette:
    """The tokens in Qt's roles, so that what the stylesheet does not reach looks right too."""
    made = QPalette()
    roles = QPalette.ColorRole
    for role, colour in {
        roles.Window: colours.ground,
        roles.WindowText: colours.text,
        roles.Base: colours.panel,
        roles.AlternateBase: colours.raised,
        roles.Text: colours.text,
        roles.PlaceholderText: colours.muted,
        roles.Button: colours.raised,
        roles.ButtonText: colours.text,
        roles.ToolTipBase: colours.raised,
        roles.ToolTipText: colours.text,
        roles.Highlight: colours.accent_ground,
        roles.HighlightedText: colours.text,
        roles.Accent: colours.accent,
        roles.Link: colours.accent,
        roles.Light: colours.line,
        roles.Mid: colours.line,
        roles.Dark: colours.line,
        roles.Shadow: colours.line,
    }.items():
        made.setColor(role, QColor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(colours.muted))
    return made
