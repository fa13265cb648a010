"""The first steps are ticked off by doing them in the real window, and do not come back once all are done."""

from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.labels import ElidedLabel
from annotator.desktop.window import Window
from annotator.desktop.workspace.first_steps import Step
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, move, play_until, publish, tag


@pytest.fixture
def bench(opened: Opener, recording: Path) -> Window:
    return opened(recording)


def test_each_is_ticked_off_by_doing_it(bench: Window, qtbot: QtBot) -> None:
    steps = bench_of(bench).first_steps
    assert steps.isVisible()
    assert steps.left == set(Step)
    play_until(qtbot, bench, 500)
    assert steps.left == {Step.TAG, Step.CORRECT, Step.PUBLISH}
    tag(qtbot, bench, "c")
    assert steps.left == {Step.CORRECT, Step.PUBLISH}
    move(qtbot, bench, ",")
    tag(qtbot, bench, "[")
    assert steps.left == {Step.PUBLISH}
    QTest.keySequence(bench, "Ctrl+P")
    with qtbot.waitSignal(steps.finished):
        publish(qtbot, bench)
    assert not steps.isVisible()


def test_in_a_narrow_window_words_end_in_an_ellipsis_and_hide_stays(bench: Window) -> None:
    bench.resize(960, 510)
    QApplication.processEvents()
    steps = bench_of(bench).first_steps
    for words in steps.findChildren(QLabel):
        whole = words.width() >= words.sizeHint().width()
        assert whole or (isinstance(words, ElidedLabel) and words.text().startswith("Tag: ")), words.text()
    (hide,) = steps.findChildren(QPushButton)
    assert steps.rect().contains(hide.geometry())


def test_a_step_taken_back_is_no_step(bench: Window, qtbot: QtBot) -> None:
    tag(qtbot, bench, "c")
    tag(qtbot, bench, "Ctrl+Z")
    assert bench_of(bench).first_steps.left == {Step.PLAY, Step.CORRECT, Step.PUBLISH}


def test_put_away_they_stay_away(bench: Window, opened: Opener, recording: Path) -> None:
    hide = bench_of(bench).first_steps.findChild(QPushButton)
    assert hide is not None
    hide.click()
    assert not bench_of(bench).first_steps.isVisible()
    bench.close_case()
    assert not bench_of(opened(recording)).first_steps.isVisible()
