"""The transport: boundary, frame, play, frame, boundary; speed; which frame is shown."""

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QPushButton, QToolButton, QVBoxLayout, QWidget

from annotator.desktop import typeface
from annotator.desktop.controls import icon_button, label, tip
from annotator.desktop.icons import Icon, icon
from annotator.desktop.player import SPEEDS
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import BAR, UNIT


class Transport(QFrame):
    """speed_chosen  the speed that was clicked"""

    speed_chosen = Signal(float)

    def __init__(self, actions: Mapping[str, QAction], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._playing = False
        self.setProperty("kind", "bar")
        self.setProperty("edge", "top")
        self.setFixedHeight(BAR + 2)
        self._play = _play_button(actions["toggle_play"])
        self._frame = label("", "second")
        self._frame.setFont(typeface.figures())
        self._frame.setMinimumWidth(200)
        self._speeds = QButtonGroup(self)
        row = QHBoxLayout()
        row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        row.setSpacing(2 * UNIT)
        balance = QWidget()
        balance.setMinimumWidth(200)
        row.addWidget(balance)
        row.addStretch(1)
        row.addWidget(icon_button(actions["previous_boundary"]))
        row.addWidget(icon_button(actions["frame_back"]))
        row.addWidget(self._play)
        row.addWidget(icon_button(actions["frame_on"]))
        row.addWidget(icon_button(actions["next_boundary"]))
        row.addSpacing(6 * UNIT)
        for number, speed in enumerate(SPEEDS):
            row.addWidget(self._speed_button(number, speed))
        row.addStretch(1)
        row.addWidget(self._frame)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        self._speeds.idClicked.connect(self._choose_speed)
        theme.changed.connect(self._paint_play)
        self._paint_play()

    def show_speed(self, speed: float) -> None:
        chosen = self._speeds.button(SPEEDS.index(speed)) if speed in SPEEDS else None
        if chosen is not None:
            chosen.setChecked(True)

    def show_playing(self, playing: bool) -> None:
        self._playing = playing
        self._paint_play()

    def show_frame(self, text: str) -> None:
        self._frame.setText(text)

    def _speed_button(self, number: int, speed: float) -> QPushButton:
        made = QPushButton(f"{speed:g}")
        made.setCheckable(True)
        made.setChecked(speed == 1)
        made.setFixedWidth(48)
        made.setFocusPolicy(self._play.focusPolicy())
        made.setAccessibleName(f"Speed {speed:g}")
        made.setToolTip(f"Play at {speed:g} times speed")
        self._speeds.addButton(made, number)
        return made

    def _paint_play(self) -> None:
        """The one button that is filled has its own ink, which the same icon in a menu could not have."""
        colours = self._theme.colours
        self._play.setIcon(icon(Icon.PAUSE if self._playing else Icon.PLAY, colours, on=colours.on_accent))

    def _choose_speed(self, number: int) -> None:
        self.speed_chosen.emit(SPEEDS[number])


def _play_button(action: QAction) -> QToolButton:
    made = QToolButton()
    made.setAccessibleName(action.text())
    made.setProperty("rank", "main")
    made.setIconSize(QSize(18, 18))
    made.setMinimumWidth(48)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.setToolTip(tip(action))
    made.setEnabled(action.isEnabled())
    made.clicked.connect(action.trigger)
    action.enabledChanged.connect(made.setEnabled)
    return made
