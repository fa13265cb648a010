"""Every control has a name for screen readers and is large enough to hit; all can be reached by key."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QProgressBar,
    QScrollBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from annotator.desktop.picture import Picture
from annotator.desktop.ribbon import Ribbon
from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, tag

CONTROLS = (QAbstractButton, QAbstractItemView, QComboBox, QLineEdit, QProgressBar, Picture, Ribbon)


def controls(window: QWidget) -> list[QWidget]:
    found = [one for one in window.findChildren(QWidget) if isinstance(one, CONTROLS)]
    # Parts that Qt makes inside its own widgets: the list of a combo box, the button that clears a field.
    return [one for one in found if not isinstance(one.parent(), QComboBox | QLineEdit) and not _in_popup(one)]


def _in_popup(widget: QWidget) -> bool:
    return widget.window().windowType() == Qt.WindowType.Popup


def name_of(widget: QWidget) -> str:
    told = QAccessible.queryAccessibleInterface(widget)
    return told.text(QAccessible.Text.Name)


def test_every_control_has_a_name(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    bench_of(window).show_publish()
    nameless = [one for one in controls(window) if not name_of(one)]
    assert nameless == []


def test_the_start_screen_has_names(window: Window) -> None:
    names = [name_of(one) for one in controls(window.start)]
    # On Linux, Qt gives a field of choices its label by relation, and what is chosen as its name.
    of_choices = name_of(window.start.vocabulary)
    assert names == ["Open recordings", "Open a case", "Try the sample", of_choices, "Settings…"]


def test_buttons_are_large_enough(recording: Path, opened: Opener) -> None:
    """WCAG 2.2, 2.5.8: targets of at least 24 by 24 pixels."""
    window = opened(recording)
    bench = bench_of(window)
    for page in (bench.show_record, bench.show_publish, bench.show_findings):
        page()
        QApplication.processEvents()
        for one in controls(window):
            if isinstance(one, QAbstractButton | QComboBox | QLineEdit) and one.isVisible():
                assert min(one.width(), one.height()) >= 24, name_of(one)


def test_all_controls_are_reached_by_the_tab_key(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    for one in controls(window):
        if one is window.finder.findChild(QAbstractItemView):
            continue  # moved in by the keys of its field
        if isinstance(one, QAbstractButton | QComboBox | QLineEdit | QAbstractItemView) and one.isEnabled():
            assert one.focusPolicy() & Qt.FocusPolicy.TabFocus, name_of(one)


def test_nothing_is_cut_off_at_the_smallest_size(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.resize(1280, 720)
    QApplication.processEvents()
    assert (window.width(), window.height()) == (1280, 720)
    for one in window.findChildren(QWidget):
        if one.isVisible() and isinstance(one, QAbstractButton) and not isinstance(one.parent(), QScrollBar):
            assert one.width() >= one.minimumSizeHint().width(), name_of(one)
