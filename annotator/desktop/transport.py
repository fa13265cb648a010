"""The transport: boundary, frame, play, frame, boundary; speed; which frame is shown."""

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from annotator.desktop.controls import icon_button, label
from annotator.desktop.player import SPEEDS
from annotator.desktop.tokens import BAR, UNIT


class Transport(QFrame):
    """speed_chosen  the speed that was clicked"""

    speed_chosen = Signal(float)

    def __init__(self, actions: Mapping[str, QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "top")
        self.setFixedHeight(BAR + 2)
        self._play = icon_button(actions["toggle_play"], rank="main", width=48)
        self._frame = label("", "second")
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

    def show_speed(self, speed: float) -> None:
        chosen = self._speeds.button(SPEEDS.index(speed)) if speed in SPEEDS else None
        if chosen is not None:
            chosen.setChecked(True)

    def show_frame(self, text: str) -> None:
        self._frame.setText(text)

    def _speed_button(self, number: int, speed: float) -> QPushButton:
        made = QPushButton(f"{speed:g}")
        made.setCheckable(True)
        made.setChecked(speed == 1)
        made.setFixedWidth(44)
        made.setFocusPolicy(self._play.focusPolicy())
        made.setAccessibleName(f"Speed {speed:g}")
        made.setToolTip(f"Play at {speed:g} times speed")
        self._speeds.addButton(made, number)
        return made

    def _choose_speed(self, number: int) -> None:
        self.speed_chosen.emit(SPEEDS[number])
