"""The top bar at any width: no word is cut, the clock stands in the middle, a long title ends softly."""

from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.desktop.workspace.top_bar import TopBar
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of

LONG = "Retinal detachment with proliferative vitreoretinopathy, model eye, second operation of the course"


@pytest.fixture
def bar(window: Window, recording: Path, opened: Opener) -> TopBar:
    opened(recording)
    window.activateWindow()
    return bench_of(window).top


def resize(window: Window, width: int) -> None:
    window.resize(width, 720)
    for _ in range(3):
        QApplication.processEvents()


def buttons(bar: TopBar) -> dict[str, QPushButton]:
    return {one.accessibleName().split(",")[0].rstrip("…"): one for one in bar.findChildren(QPushButton)}


@pytest.mark.parametrize("width", [960, 1024, 1280, 1920])
def test_no_button_is_narrower_than_its_words(width: int, window: Window, bar: TopBar) -> None:
    controller_of(window).rename(LONG)
    resize(window, width)
    for name, button in buttons(bar).items():
        assert button.width() >= button.sizeHint().width(), name
        assert bar.rect().contains(button.mapTo(bar, button.rect().bottomRight())), name


def test_words_make_room_for_icons_and_come_back(window: Window, bar: TopBar) -> None:
    resize(window, 960)
    find = buttons(bar)["Find command"]
    assert (find.text(), find.icon().isNull()) == ("", False)
    assert find.toolTip() == "Find command (Ctrl+K)"
    assert buttons(bar)["Publish"].text() == "Publish", "what matters most keeps its word"
    resize(window, 1440)
    assert (find.text(), find.icon().isNull()) == ("Find command   Ctrl+K", True)


@pytest.mark.parametrize("width", [960, 1280, 1920])
def test_the_clock_stands_in_the_middle(width: int, window: Window, bar: TopBar) -> None:
    controller_of(window).rename(LONG)
    resize(window, width)
    clock = next(one for one in bar.findChildren(QLabel) if one.accessibleName() == "Time of the frame on screen")
    assert abs(clock.geometry().center().x() - bar.width() // 2) <= 4


def test_a_long_title_takes_the_room_there_is_and_ends_softly(window: Window, bar: TopBar, qtbot: QtBot) -> None:
    controller_of(window).rename(LONG)
    resize(window, 1280)
    assert bar.title.shown.endswith("…")
    assert bar.title.width() > 260
    resize(window, 2048)
    assert bar.title.shown == LONG
    assert bar.title.text() == LONG


@pytest.mark.parametrize("width", [960, 1280])
def test_the_transport_has_room_for_all_its_buttons(width: int, window: Window, bar: TopBar) -> None:
    resize(window, width)
    transport = bench_of(window).transport
    buttons = [one for one in transport.findChildren(QAbstractButton) if one.isVisible()]
    places = sorted((one.mapTo(transport, one.rect().topLeft()).x(), one.width()) for one in buttons)
    assert len(places) > 10
    for (left, wide), (after, _) in pairwise(places):
        assert left + wide <= after
