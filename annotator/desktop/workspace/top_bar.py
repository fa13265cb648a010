"""The top bar: what is open, the time of the frame on screen, and closing it."""

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QIcon, QResizeEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QMenu, QSizePolicy, QToolButton, QWidget

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import BAR, UNIT
from annotator.desktop.widgets.controls import button, choices, dense, icon_button, key_of, label, plain_tip, restyle
from annotator.desktop.workspace.case_title import CaseTitle
from annotator.model.case import Eye
from annotator.model.timecode import Ms, clock

_SPEED_WIDTH = 84
"""Room for “back × 1.5”, kept on both sides so that the clock stands still in the middle."""


_EYES: Mapping[str, Eye | None] = {"Eye?": None, **{f"{eye.capitalize()} eye": eye for eye in Eye}}
_NO_ICON = QIcon()


class TopBar(QFrame):
    """What happened in it.

    renamed       the case was given this title by typing it over the old one
    eye_selected  an Eye, or None
    """

    renamed = Signal(str)
    eye_selected = Signal(object)

    def __init__(self, actions: Mapping[str, QAction], menu: QMenu, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self.setFixedHeight(BAR)
        self.title = CaseTitle(self._rename)
        self.eye = dense(choices("Eye", list(_EYES)))
        self.eye.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.eye.setToolTip("Which eye it is")
        self.eye.activated.connect(lambda at: self.eye_selected.emit([*_EYES.values()][at]))
        self._place = label("", "second")
        self._clock = label("", "clock")
        self._clock.setFont(typeface.clock())
        self._clock.setAccessibleName("Time of the frame on screen")
        self._speed = label("", "second")
        self._speed.setFixedWidth(_SPEED_WIDTH)
        balance = QWidget()
        balance.setFixedWidth(_SPEED_WIDTH)
        undo, redo = (icon_button(actions[name], rank="quiet") for name in ("undo", "redo"))
        self._actions = actions
        self._find = button(actions["find_command"])
        self._check = button(actions["show_findings"])
        self._publish = button(actions["show_publish"], text="Publish", rank="main")
        self._findings = -1  # not told yet
        self._middle = _row(balance, self._clock, self._speed)
        self._right = _row(None, undo, redo, self._find, self._check, self._publish)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(2 * UNIT, 0, 3 * UNIT, 0)
        whole.setSpacing(0)
        whole.addWidget(_side(_row(_menu_button(menu), self.title, self.eye, self._place, None)), 1)
        whole.addLayout(self._middle)
        whole.addWidget(_side(self._right), 1)
        for does in ("find_command", "show_findings"):
            actions[does].changed.connect(self._fit)
        self.show_findings(0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def show_case(self, title: str, path: Path, writable: bool) -> None:
        self.title.setReadOnly(not writable)
        what = "Title of the case, never a patient’s name. Click to change it" if writable else "Title of the case"
        self.title.setToolTip(plain_tip(what, str(path)))
        self.title.show_of("the case", title)

    def show_eye(self, eye: Eye | None, writable: bool) -> None:
        self.eye.setCurrentIndex([*_EYES.values()].index(eye))
        self.eye.setEnabled(writable)

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
        if count == self._findings:
            return  # to fit the words again would lay out the whole window
        self._findings = count
        self._check.setAccessibleName(f"Check tags, {count or 'none'} to look at")
        self._fit()

    def quiet_publish(self, quiet: bool) -> None:
        """There is one filled button a screen: while the panel is open, it is the panel's."""
        self._publish.setProperty("rank", "" if quiet else "main")
        restyle(self._publish)

    def _fit(self) -> None:
        """Leave the words off that have no room: first those of the command that has a key, never a part of them."""
        margins = self.contentsMargins()
        room = (self.width() - margins.left() - margins.right() - self._middle.sizeHint().width()) // 2
        for show in (self._show_all_words, self._show_find_as_icon, self._show_check_as_icon):
            show()
            self._right.invalidate()
            if self._right.sizeHint().width() <= room:
                return

    def _show_all_words(self) -> None:
        key = key_of(self._actions["find_command"])
        self._find.setIcon(_NO_ICON)
        self._find.setText(f"Find command   {key}" if key else "Find command")
        self._check.setIcon(_NO_ICON)
        self._check.setText(f"Check  {self._findings}" if self._findings else "Check")

    def _show_find_as_icon(self) -> None:
        self._find.setIcon(self._actions["find_command"].icon())
        self._find.setText("")

    def _show_check_as_icon(self) -> None:
        self._check.setIcon(self._actions["show_findings"].icon())
        self._check.setText(f"{self._findings}" if self._findings else "")

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


def _side(row: QHBoxLayout) -> QWidget:
    """Half of what the middle leaves, however much is in it: the clock stands still."""
    made = QWidget()
    made.setLayout(row)
    row.setContentsMargins(0, 0, 0, 0)
    made.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
    return made


def _menu_button(menu: QMenu) -> QToolButton:
    made = QToolButton()
    made.setDefaultAction(menu.menuAction())
    made.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
    made.setAccessibleName("Menu")
    made.setToolTip("Menu")
    made.setProperty("rank", "quiet")
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
