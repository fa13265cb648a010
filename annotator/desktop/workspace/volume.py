"""The volume of the recordings: a mute button, and a slider beside it."""

from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QSlider, QWidget

from annotator.desktop.playback.player import Player
from annotator.desktop.preferences.preferences import LOUDEST, Preferences
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ICON, ICON_BUTTON, UNIT
from annotator.desktop.widgets.controls import IconButton, keep_tip

_STEP: Final = 10
"""Percent that a key makes it louder or quieter by."""


class Volume(QWidget):
    """Remembered from one time to the next. What moves the volume also brings the sound back.

    said  a line for the user
    """

    said = Signal(str, bool)

    def __init__(self, player: Player, preferences: Preferences, mute: QAction, theme: Theme) -> None:
        super().__init__()
        self._player = player
        self._preferences = preferences
        self._theme = theme
        self._action = mute
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self._mute = IconButton()
        self._mute.setProperty("rank", "quiet")
        self._mute.setCheckable(True)
        self._mute.setAccessibleName(mute.text())
        self._mute.setIconSize(QSize(ICON, ICON))
        self._mute.setMinimumWidth(ICON_BUTTON)
        self._mute.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        keep_tip(self._mute, mute)
        self.slider.setEnabled(mute.isEnabled())
        self._mute.setEnabled(mute.isEnabled())
        self._mute.clicked.connect(mute.trigger)
        mute.enabledChanged.connect(self._mute.setEnabled)
        mute.enabledChanged.connect(self.slider.setEnabled)
        self.slider.setRange(0, LOUDEST)
        self.slider.setPageStep(_STEP)
        self.slider.setMinimumWidth(12 * UNIT)
        self.slider.setMaximumWidth(22 * UNIT)
        self.slider.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.slider.setProperty("needs", "arrows")
        self.slider.setAccessibleName("Volume")
        self.slider.setValue(preferences.volume)
        self.slider.valueChanged.connect(self._take)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self._mute)
        row.addWidget(self.slider)
        theme.changed.connect(self._show)
        self._apply()

    def toggle_mute(self) -> None:
        """Be silent, or as loud as before."""
        self._preferences.is_muted = not self._preferences.is_muted
        self._apply()
        self.said.emit(
            "Sound off" if self._preferences.is_muted else f"Sound on, volume {self.slider.value()} %", False
        )

    def louder(self) -> None:
        self._move(_STEP)

    def quieter(self) -> None:
        self._move(-_STEP)

    def _move(self, by: int) -> None:
        volume = min(max(self.slider.value() + by, 0), LOUDEST)
        if volume == self.slider.value():
            self._take(volume)  # it may be muted
        self.slider.setValue(volume)
        self.said.emit(f"Volume {volume} %", False)

    def _take(self, volume: int) -> None:
        self._preferences.volume, self._preferences.is_muted = volume, False
        self._apply()

    def _apply(self) -> None:
        silent = self._preferences.is_muted
        self._player.set_volume(0 if silent else self._preferences.volume / LOUDEST)
        self._show()

    def _show(self) -> None:
        for switch in (self._action, self._mute):
            switch.setChecked(self._preferences.is_muted)
        is_heard = self._preferences.volume and not self._preferences.is_muted
        self._mute.setIcon(icon(Icon.SOUND if is_heard else Icon.NO_SOUND, self._theme.colours))
        self.slider.setToolTip(f"Volume {self.slider.value()} %")
