"""The top bar: what is open, the time of the frame on screen, and the way out."""

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QMenu, QToolButton, QWidget

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import BAR, UNIT
from annotator.desktop.widgets.controls import button, icon_button, key_of, label, plain_tip, restyle
from annotator.desktop.widgets.form_line import FormLine
from annotator.model.case import UNTITLED
from annotator.model.timecode import Ms, clock

_TITLE_WIDTH = 240
_SPEED_WIDTH = 84
"""Room for “back × 1.5”, kept on both sides so that the clock stands still in the middle."""


class TopBar(QFrame):
    """renamed  the case was given this title by typing it over the old one"""

    renamed = Signal(str)

    def __init__(self, actions: Mapping[str, QAction], menu: QMenu, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self.setFixedHeight(BAR)
        self.title = FormLine("Title of the case", self._rename)
        self.title.setProperty("kind", "title")
        self.title.setPlaceholderText(UNTITLED)
        self.title.setFixedWidth(_TITLE_WIDTH)
        self.title.setMaxLength(200)
        self._place = label("", "second")
        self._clock = label("")
        self._clock.setFont(typeface.clock())
        self._clock.setStyleSheet("font-size: 18px;")
        self._clock.setAccessibleName("Time of the frame on screen")
        self._speed = label("", "second")
        self._speed.setFixedWidth(_SPEED_WIDTH)
        self._check = button(actions["show_findings"], text="Check")
        self._publish = button(actions["show_publish"], text="Publish", rank="main")
        grid = QGridLayout(self)
        grid.setContentsMargins(2 * UNIT, 0, 3 * UNIT, 0)
        grid.addLayout(_row(_menu_button(menu), self.title, self._place, None), 0, 0)
        balance = QWidget()
        balance.setFixedWidth(_SPEED_WIDTH)
        grid.addLayout(_row(balance, self._clock, self._speed), 0, 1)
        undo, redo = (icon_button(actions[name], rank="quiet") for name in ("undo", "redo"))
        self._find_command = actions["find_command"]
        self._find = button(self._find_command)
        self._find_command.changed.connect(self._show_find_key)
        self._show_find_key()
        grid.addLayout(_row(None, undo, redo, self._find, self._check, self._publish), 0, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(2, 1)

    def show_case(self, title: str, path: Path, writable: bool) -> None:
        self.title.setReadOnly(not writable)
        what = "Title of the case; no names of patients. Click to change it" if writable else "Title of the case"
        self.title.setToolTip(plain_tip(what, str(path)))
        self.title.show_of("the case", title)

    def show_place(self, text: str) -> None:
        self._place.setText(text)

    def show_time(self, at: Ms) -> None:
        self._clock.setText(clock(at))

    def show_speed(self, speed: float) -> None:
        """Below zero for backwards."""
        words = f"back × {-speed:g}" if speed < 0 else f"× {speed:g}"
        self._speed.setText("" if speed == 1 else words)

    def show_findings(self, count: int) -> None:
        """How many questions the check has; said in words for screen readers."""
        self._check.setText(f"Check  {count}" if count else "Check")
        self._check.setAccessibleName(f"Check tags, {count or 'none'} to look at")

    def quiet_publish(self, quiet: bool) -> None:
        """There is one filled button a screen: while the panel is open, it is the panel's."""
        self._publish.setProperty("rank", "" if quiet else "main")
        restyle(self._publish)

    def _show_find_key(self) -> None:
        key = key_of(self._find_command)
        self._find.setText(f"Find command   {key}" if key else "Find command")

    def _rename(self, _case: str, title: str) -> bool:
        self.renamed.emit(title.strip())
        return bool(title.strip())

    @property
    def speed_text(self) -> str:
        return self._speed.text()

    @property
    def time_text(self) -> str:
        return self._clock.text()


def _row(*widgets: QWidget | None) -> QHBoxLayout:
    """Widgets side by side; None for a gap that takes what is left."""
    row = QHBoxLayout()
    row.setSpacing(2 * UNIT)
    for widget in widgets:
        if widget is None:
            row.addStretch(1)
        else:
            row.addWidget(widget)
    return row


def _menu_button(menu: QMenu) -> QToolButton:
    made = QToolButton()
    made.setDefaultAction(menu.menuAction())
    made.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
    made.setAccessibleName("Menu")
    made.setToolTip("Menu")
    made.setProperty("rank", "quiet")
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
