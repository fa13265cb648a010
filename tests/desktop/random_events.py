"""Whatever a person may do with mouse and keys, drawn by a seed: the same seed draws the same events.

Nothing in an event depends on the window: places are shares of a part, and parts are counted off, so that a list of
events can be printed, and gone through again. How far a recording has played meanwhile is all that differs.
"""

from collections.abc import Iterator
from random import Random
from typing import NamedTuple

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QKeySequence, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from annotator.desktop.commands.actions import ACTIONS
from annotator.desktop.window import Window

_COMMAND_KEYS = [key for action in ACTIONS for key in action.keys]
_OTHER_KEYS = ["Tab", "Shift+Tab", "Return", "Escape", "Space", "Backspace", "Down", "Up", "PgDown", "Ctrl+A"]
_STEP_KEYS = list("chbpsdfgilmrtuxz123456")
_WORDS = ["air", "soon", "0:01.5", "2", "core vitrectomy", "<b>note</b>", "ö – “x”", "99999", "per"]
_SIZES = [(960, 460), (1280, 720), (1440, 900), (1920, 1080)]

_WEIGHTS = {
    "key": 26,
    "step": 14,
    "other key": 16,
    "type": 8,
    "command": 10,
    "click": 16,
    "double click": 3,
    "drag": 6,
    "wheel": 4,
    "menu": 3,
    "resize": 1,
    "wait": 6,
    "close": 1,
}


class Event(NamedTuple):
    """What is done: `name` is a key, a word or a command; `part` counts off the parts of the window that are seen;
    `x`, `y` and `to_x`, `to_y` are shares of its width and height; `answer` counts off what a menu offers.
    """

    kind: str
    name: str
    part: int
    x: float
    y: float
    to_x: float
    to_y: float
    answer: int


def drawn(seed: int, count: int) -> Iterator[Event]:
    """So many events, always the same ones for a seed."""
    draw = Random(seed)
    kinds, weights = list(_WEIGHTS), list(_WEIGHTS.values())
    names = {
        "key": _COMMAND_KEYS,
        "other key": _OTHER_KEYS,
        "step": _STEP_KEYS,
        "type": _WORDS,
        "command": [action.does for action in ACTIONS],
    }
    for _ in range(count):
        (kind,) = draw.choices(kinds, weights)
        name = draw.choice(names.get(kind, [""]))
        x, y, to_x, to_y = (round(draw.random(), 3) for _ in range(4))
        yield Event(kind, name, draw.randrange(10_000), x, y, to_x, to_y, draw.randrange(12))


def perform(event: Event, window: Window) -> None:
    """Do it as a person would, in whatever stands in front."""
    front = QApplication.activePopupWidget() or QApplication.activeModalWidget() or window
    # Qt waits for a menu inside of the event that opened it, and so it has to be answered from within.
    answering = QTimer(window)
    answers = _Answers(event.answer)
    answering.timeout.connect(answers.give)
    answering.start(0)
    if event.kind in ("key", "other key", "step"):
        _press(front, event.name)
    elif event.kind == "type":
        _type(_focus(front), event.name)
    elif event.kind == "command":
        window.commands.actions[event.name].trigger()
    elif event.kind == "close":
        window.commands.actions["close_case"].trigger()
    elif event.kind == "resize":
        window.resize(*_SIZES[event.part % len(_SIZES)])
    elif event.kind == "wait":
        QTest.qWait(event.part % 60)  # what plays goes on meanwhile; nothing depends on how far
    else:
        _point(event, front)
    while isinstance(QApplication.activePopupWidget(), QMenu):
        QApplication.processEvents()
    QApplication.processEvents()
    answering.deleteLater()


def _press(front: QWidget, key: str) -> None:
    QTest.keySequence(_focus(front), QKeySequence(key))


def _type(field: QWidget, word: str) -> None:
    """QTest knows the letters of ASCII only."""
    for letter in word:
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            QApplication.sendEvent(field, QKeyEvent(kind, 0, Qt.KeyboardModifier.NoModifier, letter))


def _focus(front: QWidget) -> QWidget:
    """What gets the keys: in a menu the menu, else what has the focus."""
    if front.windowType() is Qt.WindowType.Popup:
        return front
    return front.focusWidget() or front


def _point(event: Event, front: QWidget) -> None:
    """All that is done with the mouse."""
    seen = [one for one in front.findChildren(QWidget) if one.isVisible() and one.width() > 0 and one.height() > 0]
    part = seen[event.part % len(seen)] if seen else front
    here, there = _place(part, event.x, event.y), _place(part, event.to_x, event.to_y)
    if event.kind == "click":
        QTest.mouseClick(part, Qt.MouseButton.LeftButton, pos=here)
    elif event.kind == "double click":
        QTest.mouseDClick(part, Qt.MouseButton.LeftButton, pos=here)
    elif event.kind == "menu":
        asked = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, here, part.mapToGlobal(here))
        QApplication.sendEvent(part, asked)
    elif event.kind == "drag":
        QTest.mousePress(part, Qt.MouseButton.LeftButton, pos=here)
        QTest.mouseMove(part, (here + there) / 2)
        QTest.mouseMove(part, there)
        QTest.mouseRelease(part, Qt.MouseButton.LeftButton, pos=there)
    elif event.kind == "wheel":
        _turn(part, here, -120 if event.to_x < 0.5 else 120, held=event.to_y < 0.5)


def _place(part: QWidget, x: float, y: float) -> QPoint:
    return QPoint(int(x * (part.width() - 1)), int(y * (part.height() - 1)))


def _turn(part: QWidget, at: QPoint, by: int, *, held: bool) -> None:
    keys = Qt.KeyboardModifier.ControlModifier if held else Qt.KeyboardModifier.NoModifier
    where, on_screen = QPointF(at), QPointF(part.mapToGlobal(at))
    none, phase = Qt.MouseButton.NoButton, Qt.ScrollPhase.NoScrollPhase
    QApplication.sendEvent(part, QWheelEvent(where, on_screen, QPoint(), QPoint(0, by), none, keys, phase, False))


class _Answers:
    """Closes menus that open: with one of what they offer, which may be another menu, else by Escape."""

    def __init__(self, answer: int) -> None:
        self._answer = answer
        self._given_up = False

    def give(self) -> None:
        menu = QApplication.activePopupWidget()
        if not isinstance(menu, QMenu):
            return
        offered = [action for action in menu.actions() if action.isEnabled() and not action.isSeparator()]
        self._given_up = self._given_up or self._answer >= len(offered)
        if self._given_up:
            QTest.keyClick(menu, Qt.Key.Key_Escape)
        else:
            menu.setActiveAction(offered[self._answer])
            QTest.keyClick(menu, Qt.Key.Key_Return)
