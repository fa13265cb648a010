"""The playback controls: boundary, frame, play, frame, boundary; speed; which frame is shown."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from annotator.desktop.preferences.speeds import SPEEDS
from annotator.desktop.theme import typeface
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import BAR, ICON, UNIT
from annotator.desktop.widgets.controls import IconButton, PushButton, icon_button, keep_tip
from annotator.desktop.widgets.labels import ElidedLabel


class Transport(QFrame):
    """speed_chosen  the speed that was clicked"""

    speed_chosen = Signal(float)

    def __init__(self, actions: Mapping[str, QAction], theme: Theme, volume: QWidget) -> None:
        super().__init__()
        self._theme = theme
        self._playing = False
        self.setProperty("kind", "bar")
        self.setProperty("edge", "top")
        self.setFixedHeight(BAR + 2)
        self._play = _play_button(actions["toggle_play"])
        self._frame = ElidedLabel("second")
        self._frame.setFont(typeface.figures())
        self._frame.setAlignment(Qt.AlignmentFlag.AlignRight)
        self._frame.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._speeds: Sequence[float] = ()
        self._buttons = QButtonGroup(self)
        self._beside_play = QHBoxLayout()
        self._beside_play.setSpacing(2 * UNIT)
        row = QHBoxLayout()
        row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(_left(icon_button(actions["fold_timeline"], rank="quiet"), volume), 1)
        row.addWidget(icon_button(actions["previous_boundary"]))
        row.addWidget(icon_button(actions["frame_back"]))
        row.addWidget(self._play)
        row.addWidget(icon_button(actions["frame_on"]))
        row.addWidget(icon_button(actions["next_boundary"]))
        self._last = icon_button(actions["toggle_loop"])
        row.addWidget(self._last)
        row.addSpacing(6 * UNIT)
        row.addLayout(self._beside_play)
        row.addWidget(self._frame, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        self._buttons.idClicked.connect(self._choose_speed)
        self.offer_speeds(SPEEDS, 1)
        theme.changed.connect(self._paint_play)
        self._paint_play()

    def offer_speeds(self, speeds: Sequence[float], chosen: float) -> None:
        """Have one button for each of these speeds."""
        for button in self._buttons.buttons():
            self._buttons.removeButton(button)
            button.hide()
            button.deleteLater()
        self._speeds = tuple(speeds)
        before: QWidget = self._last
        for number, speed in enumerate(self._speeds):
            made = self._speed_button(speed)
            self._buttons.addButton(made, number)
            self._beside_play.addWidget(made)
            QWidget.setTabOrder(before, made)
            before = made
        self.show_speed(chosen)

    def show_speed(self, speed: float) -> None:
        """Forwards or, below zero, backwards."""
        if abs(speed) in self._speeds:
            self._buttons.button(self._speeds.index(abs(speed))).setChecked(True)

    def show_playing(self, playing: bool) -> None:
        self._playing = playing
        self._paint_play()

    def show_frame(self, text: str) -> None:
        self._frame.setText(text)

    def _speed_button(self, speed: float) -> PushButton:
        made = PushButton(f"{speed:g}")
        made.setCheckable(True)
        made.setMinimumWidth(48)
        made.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        made.setFocusPolicy(self._play.focusPolicy())
        made.setAccessibleName(f"Speed {speed:g}")
        made.setToolTip(f"Play at {speed:g} times speed")
        return made

    def _paint_play(self) -> None:
        """The one button that is filled has its own ink, which the same icon in a menu could not have."""
        colours = self._theme.colours
        self._play.setIcon(icon(Icon.PAUSE if self._playing else Icon.PLAY, colours, on=colours.on_accent))

    def _choose_speed(self, number: int) -> None:
        self.speed_chosen.emit(self._speeds[number])


def _left(*parts: QWidget) -> QWidget:
    """At the left, over the names of the lanes; as wide as the words at the right, so that play is in the middle."""
    balance = QWidget()
    balance.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
    row = QHBoxLayout(balance)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(2 * UNIT)
    for part in parts:
        row.addWidget(part)
    row.addStretch(1)
    return balance


def _play_button(action: QAction) -> IconButton:
    made = IconButton()
    made.setAccessibleName(action.text())
    made.setProperty("rank", "main")
    made.setIconSize(QSize(ICON, ICON))
    made.setMinimumWidth(48)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    keep_tip(made, action)
    made.setEnabled(action.isEnabled())
    made.clicked.connect(action.trigger)
    action.enabledChanged.connect(made.setEnabled)
    return made
