"""What docs/guide.md tells a new user to press is pressed in the real window, in that order, and what it says is seen.

Each step first finds its sentence in the page, so that a sentence that changes takes its test with it.
"""

import re
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.desktop.workspace.first_steps import Step
from annotator.model.case import Tag
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, play_until, publish, seek, tag

GUIDE = (Path(__file__).resolve().parents[2] / "docs" / "guide.md").read_text(encoding="utf-8")


def guide_says(sentence: str) -> None:
    assert sentence in re.sub(r"[*`]", "", GUIDE), sentence


def of(window: Window, name: str) -> list[Tag]:
    """The tags of a step, in order."""
    case = controller_of(window).case
    iri = case.vocabulary.match(name).iri
    return [one for one in case.tags if one.concept == iri]


def selected(window: Window) -> Tag:
    found = controller_of(window).selected
    assert found is not None
    return found


@pytest.fixture
def sample(window: Window, qtbot: QtBot) -> Window:
    """The sample, opened as the guide says: by a click on its card on the start screen."""
    guide_says("annotator open, then Try the sample")
    (card,) = (
        button
        for button in window.start.findChildren(QPushButton)
        if "Try the sample" in [label.text() for label in button.findChildren(QLabel)]
    )
    with qtbot.waitSignal(window.player.shown, timeout=60_000):
        QTest.mouseClick(card, Qt.MouseButton.LeftButton)
    return window


def test_five_minutes_with_the_sample(sample: Window, qtbot: QtBot) -> None:
    steps = bench_of(sample).first_steps
    before = controller_of(sample).case
    assert before.tags, "already tagged"
    guide_says("A line at the top lists four things to try and ticks each one off when you have done it.")
    assert steps.isVisible() and steps.left == set(Step) and len(Step) == 4

    guide_says("Play: press the space bar.")
    play_until(qtbot, sample, sample.player.at + 400)
    assert Step.PLAY not in steps.left

    guide_says("press c when the core vitrectomy begins")
    guide_says("a key pressed in the middle of one splits it")
    ports = of(sample, "port-placement")[0]
    seek(qtbot, sample, 5_000)
    pressed_at = sample.player.at
    tag(qtbot, sample, "c")
    core = of(sample, "core-vitrectomy")[0]
    assert core.start == pressed_at
    assert of(sample, "port-placement")[0].end == pressed_at < (ports.end or 0)
    assert selected(sample).id == core.id

    guide_says("go back with ,, press [. Your tag now starts at the frame you see, and the one before ends there.")
    move(qtbot, sample, ",")
    tag(qtbot, sample, "[")
    assert of(sample, "core-vitrectomy")[0].start == sample.player.at < pressed_at
    assert of(sample, "port-placement")[0].end == sample.player.at

    guide_says("Publish: Ctrl+P, then Publish. Chapters and durations are in the folder shown")
    QTest.keySequence(sample, "Ctrl+P")
    panel = bench_of(sample).publish
    assert panel.write.text() == "Publish"
    with qtbot.waitSignal(steps.finished):
        publish(qtbot, sample)
    written = {path.suffix for path in controller_of(sample).session.path.parent.glob("*.*.*")}
    assert {".vtt", ".xlsx"} <= written
    assert not steps.isVisible()

    guide_says("Ctrl+Z undoes as far back as you like.")
    QTest.keySequence(sample, "Escape")
    tag(qtbot, sample, "Ctrl+Z")
    tag(qtbot, sample, "Ctrl+Z")
    assert controller_of(sample).case.tags == before.tags


def test_one_pass_without_the_mouse(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    window = opened(recording)
    guide_says("+ is faster, up to four times; - is slower.")
    for _ in range(9):
        QTest.keySequence(window, "+")
    assert window.player.speed == 4
    for _ in range(9):
        QTest.keySequence(window, "-")
    assert window.player.speed < 1

    guide_says("Each step ends the one before. Esc is for pauses")
    tag(qtbot, window, "c")
    seek(qtbot, window, 1_002)
    tag(qtbot, window, "s")
    assert of(window, "core-vitrectomy")[0].end == of(window, "segmentation")[0].start == window.player.at
    guide_says("Digits are events: 1 bleeding, 4 pressure raised. They end nothing.")
    seek(qtbot, window, 1_502)
    tag(qtbot, window, "1")
    tag(qtbot, window, "4")
    assert of(window, "segmentation")[0].end is None
    assert of(window, "bleeding") and of(window, "pressure-raised")
    seek(qtbot, window, 2_002)
    tag(qtbot, window, "Escape")
    assert of(window, "segmentation")[0].end == window.player.at

    guide_says("Ctrl+F, two letters, Enter.")
    seek(qtbot, window, 3_003)
    QTest.keySequence(window, "Ctrl+F")
    field = bench_of(window).sheet.field
    qtbot.waitUntil(field.hasFocus)
    QTest.keyClicks(field, "de")
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(field, Qt.Key.Key_Return)
    assert of(window, "delamination")[0].start == window.player.at


def test_second_pass(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    window = opened(recording)
    for key, at in (("c", 501), ("s", 1_502), ("Escape", 2_503), ("d", 3_504), ("Escape", 4_004)):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    seek(qtbot, window, 0)
    guide_says("go from boundary to boundary with Down. The tag that starts there is selected as you go")
    move(qtbot, window, "Down")
    assert selected(window).id == of(window, "core-vitrectomy")[0].id
    move(qtbot, window, "Down")
    segmentation = of(window, "segmentation")[0]
    assert selected(window).id == segmentation.id
    assert window.player.at == segmentation.start

    guide_says(", and . go frame by frame to where it really begins; [ moves the start there.")
    move(qtbot, window, ".")
    move(qtbot, window, ".")
    tag(qtbot, window, "[")
    moved = of(window, "segmentation")[0]
    assert moved.start == window.player.at > segmentation.start
    assert of(window, "core-vitrectomy")[0].end == moved.start
    guide_says("Alt+Left and Alt+Right move its start, Alt+Shift with an arrow its end")
    tag(qtbot, window, "Alt+Left")
    assert segmentation.start < of(window, "segmentation")[0].start < moved.start
    tag(qtbot, window, "Alt+Shift+Right")
    assert (of(window, "segmentation")[0].end or 0) > (segmentation.end or 0)

    guide_says("Ctrl+Up and Ctrl+Down go to the gaps.")
    move(qtbot, window, "Ctrl+Down")
    assert window.player.at == of(window, "segmentation")[0].end
    guide_says("press Ctrl+5 for a large one")
    large = bench_of(window).record_page.place_panel.large
    QTest.keySequence(window, "Ctrl+5")
    assert large.isVisible()
    QTest.keySequence(window, "Ctrl+5")
    assert not large.isVisible()
    guide_says("J plays backwards")
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        QTest.keySequence(window, "J")
    assert window.player.is_reversed
    QTest.keySequence(window, "K")
    assert not window.player.is_playing
