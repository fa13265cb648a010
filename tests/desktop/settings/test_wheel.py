"""Scrolling never changes what is said of a tag or what is to be published."""

from pathlib import Path

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox

from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of


def turn_wheel_over(box: QComboBox) -> None:
    middle = QPointF(box.rect().center())
    none = Qt.KeyboardModifier.NoModifier
    phase = Qt.ScrollPhase.NoScrollPhase
    event = QWheelEvent(
        middle, box.mapToGlobal(middle), QPoint(), QPoint(0, -120), Qt.MouseButton.NoButton, none, phase, False
    )
    QApplication.sendEvent(box, event)


def test_the_wheel_over_a_choice_leaves_it(opened: Opener, recording: Path) -> None:
    window = opened(recording)
    QTest.keySequence(window, "c")
    QTest.keySequence(window, "Ctrl+P")
    boxes = bench_of(window).findChildren(QComboBox)
    assert len(boxes) > 5
    before = [box.currentIndex() for box in boxes]
    for box in boxes:
        turn_wheel_over(box)
    assert [box.currentIndex() for box in boxes] == before
