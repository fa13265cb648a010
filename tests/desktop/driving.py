"""Driving the window as a person does: by keys, waiting for what the window tells."""

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMessageBox
from pytestqt.qtbot import QtBot

from annotator.desktop.editing.controller import Controller
from annotator.desktop.window import Window
from annotator.desktop.workspace.bench import Bench
from annotator.model.timecode import parse
from tests.desktop.films import read_number


def bench_of(window: Window) -> Bench:
    assert window.bench is not None
    return window.bench


def controller_of(window: Window) -> Controller:
    return bench_of(window).controller


def picture_number(window: Window) -> int:
    """The number on the frame that the window shows."""
    picture = bench_of(window).picture
    picture.shows_caption = False
    return read_number(picture.grab().toImage(), picture.picture_area())


def clock_ms(window: Window) -> int:
    """The time that the window shows."""
    return parse(bench_of(window).top.time_text)


def move(qtbot: QtBot, window: Window, key: str) -> None:
    """Press a key and wait for the frame that it leads to."""
    with qtbot.waitSignal(window.player.shown, timeout=5_000):
        QTest.keySequence(window, key)


def tag(qtbot: QtBot, window: Window, key: str) -> None:
    """Press a key and wait for the change that it makes."""
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keySequence(window, key)


def save(qtbot: QtBot, window: Window) -> None:
    """Press the key that saves, and wait until the disk has answered."""
    QTest.keySequence(window, "Ctrl+S")
    qtbot.waitUntil(lambda: not controller_of(window).retry.is_saving)


def seek(qtbot: QtBot, window: Window, at: int) -> None:
    """Let the window show the frame at a case time."""
    with qtbot.waitSignal(window.player.shown, timeout=5_000):
        window.player.seek(at)


def play_until(qtbot: QtBot, window: Window, at: int) -> None:
    """Play until a frame at or after `at` is on screen, then pause."""

    def reached(_picture: object, shown_at: int) -> bool:
        return shown_at >= at

    with qtbot.waitSignal(window.player.shown, check_params_cb=reached, timeout=20_000):
        QTest.keySequence(window, "Space")
    QTest.keySequence(window, "Space")


def publish(qtbot: QtBot, window: Window) -> None:
    """Press the button that writes, and wait until the work has ended."""
    panel = bench_of(window).publish
    with qtbot.waitSignal(panel.finished, timeout=60_000):
        panel.write.click()


def question(qtbot: QtBot, window: Window) -> QMessageBox:
    """The question that stands over the window, as soon as it does."""

    def is_there() -> bool:
        return any(box.isVisible() for box in window.findChildren(QMessageBox))

    qtbot.waitUntil(is_there, timeout=20_000)
    return next(box for box in window.findChildren(QMessageBox) if box.isVisible())


def words_of(box: QMessageBox) -> str:
    """All that a question says."""
    return f"{box.text()} {box.informativeText()}"


def answer(qtbot: QtBot, window: Window, text: str) -> None:
    """Press a button of the question that stands over the window."""
    box = question(qtbot, window)
    next(one for one in box.buttons() if one.text().replace("&", "") == text).click()
