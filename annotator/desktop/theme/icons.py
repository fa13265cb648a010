"""Icons by purpose; Phosphor's, which ship inside qtawesome (MIT) and need no network."""

import json
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QIcon, QIconEngine, QPainter, QPixmap

from annotator.desktop.theme.tokens import Colours

_SHARE: Final = 0.875
"""Of an icon's height that its letter has: the typeface leaves room around it."""


class Icon(StrEnum):
    MENU = "ph.list"
    PLAY = "ph.play-fill"
    PAUSE = "ph.pause-fill"
    FRAME_BACK = "ph.caret-left-bold"
    FRAME_ON = "ph.caret-right-bold"
    PREVIOUS_BOUNDARY = "ph.skip-back-fill"
    NEXT_BOUNDARY = "ph.skip-forward-fill"
    FIND = "ph.magnifying-glass"
    FINDINGS = "ph.clipboard-text"
    SUMMARY = "ph.chart-bar"
    COMPARE = "ph.columns"
    PUBLISH = "ph.export"
    UNDO = "ph.arrow-counter-clockwise"
    REDO = "ph.arrow-clockwise"
    REMOVE = "ph.trash"
    SPLIT = "ph.scissors"
    STOP = "ph.stop-circle"
    OPEN_RECORDING = "ph.film-strip"
    OPEN_CASE = "ph.folder-open"
    LIBRARY = "ph.books"
    SAMPLE = "ph.eye"
    CLOSE = "ph.x"
    LOCKED = "ph.lock-simple"
    WARNING = "ph.warning"
    MISSING = "ph.file-x"
    NO_SOUND = "ph.speaker-slash"
    SOUND = "ph.speaker-high"
    LOOP = "ph.repeat"
    DONE = "ph.check-circle"
    TO_DO = "ph.circle"
    LIGHT = "ph.sun"
    DARK = "ph.moon"
    KEYS = "ph.keyboard"
    SETTINGS = "ph.sliders-horizontal"
    STEPS = "ph.list-bullets"
    RECORD = "ph.article"
    FOLD_LEFT = "ph.caret-double-left"
    FOLD_RIGHT = "ph.caret-double-right"
    NOTE = "ph.note"
    ZOOM_IN = "ph.magnifying-glass-plus"
    ZOOM_OUT = "ph.magnifying-glass-minus"
    PLACE = "ph.crosshair"
    LARGER = "ph.arrows-out"
    STARTS_HERE = "ph.arrow-line-left"
    TIMELINE = "ph.rows"
    HELP = "ph.question"
    ENDS_HERE = "ph.arrow-line-right"


def icon(name: Icon, colours: Colours, *, on: str | None = None) -> QIcon:
    """An icon in the theme's text colour, paler where its action can't be used; `on` gives another colour."""
    return QIcon(_Glyph(_letters()[name.removeprefix("ph.")], on or colours.text, colours.line))


class _Glyph(QIconEngine):
    """One letter of the icons' typeface, in one colour, and in another where it is disabled."""

    def __init__(self, letter: str, colour: str, disabled: str) -> None:
        super().__init__()
        self._letter, self._colour, self._disabled = letter, colour, disabled

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, _state: QIcon.State) -> None:
        font = QFont(_family())
        font.setPixelSize(max(round(_SHARE * rect.height()), 1))
        painter.save()
        painter.setFont(font)
        painter.setPen(QColor(self._disabled if mode is QIcon.Mode.Disabled else self._colour))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, self._letter)
        painter.restore()

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        made = QPixmap(size)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        self.paint(painter, QRect(QPoint(), size), mode, state)
        painter.end()
        return made

    def clone(self) -> QIconEngine:
        return _Glyph(self._letter, self._colour, self._disabled)


def _file(pattern: str) -> Path:
    """A file of the package that the icons ship in. It is not imported: that loads half of Qt once
    more under other names, which takes a quarter of the time until the window is there.
    """
    found = find_spec("qtawesome")
    folders = found.submodule_search_locations if found else None
    return next(file for folder in folders or () for file in Path(folder, "fonts").glob(pattern))


@cache
def _letters() -> Mapping[str, str]:
    """The letter of each icon."""
    codes: dict[str, str] = json.loads(_file("phosphor-charmap-*.json").read_bytes())
    return {name: chr(int(code, 16)) for name, code in codes.items()}


@cache
def _family() -> str:
    number = QFontDatabase.addApplicationFontFromData(_file("phosphor-[0-9]*.ttf").read_bytes())
    return QFontDatabase.applicationFontFamilies(number)[0]
