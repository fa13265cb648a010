"""Icons by what they are for; Phosphor's, which ship inside qtawesome (MIT) and need no network."""

import os
from enum import StrEnum

from PySide6.QtGui import QIcon

from annotator.desktop.theme.tokens import Colours


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
    PUBLISH = "ph.export"
    UNDO = "ph.arrow-counter-clockwise"
    REDO = "ph.arrow-clockwise"
    REMOVE = "ph.trash"
    SPLIT = "ph.scissors"
    STOP = "ph.stop-circle"
    OPEN_RECORDING = "ph.film-strip"
    OPEN_CASE = "ph.folder-open"
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
    # qtawesome asks this variable which binding to use, and may pick another one where several are installed.
    os.environ.setdefault("QT_API", "pyside6")
    import qtawesome

    made: QIcon = qtawesome.icon(str(name), color=on or colours.text, color_disabled=colours.line)
    return made
