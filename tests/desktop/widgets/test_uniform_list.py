"""A list of equally high lines is where Qt's own would be, and none of its lines is asked that is not seen."""

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QItemSelection, QModelIndex, QPersistentModelIndex, QPoint, QSize, QStringListModel, Qt
from PySide6.QtGui import QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.uniform_list import UniformList

HEIGHT, ROOM = 20, 205
"""Pixels of a line, and of what is seen: ten lines and a quarter."""

Hint = QListView.ScrollHint


class Lines(QStyledItemDelegate):
    """Notes the state in which each line was painted last."""

    def __init__(self, parent: QListView) -> None:
        super().__init__(parent)
        self.states: dict[int, QStyle.StateFlag] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(100, HEIGHT)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        self.states[index.row()] = option.state & (
            QStyle.StateFlag.State_Selected | QStyle.StateFlag.State_HasFocus | QStyle.StateFlag.State_Enabled
        )


class Both:
    """A uniform list and Qt's own of the same lines."""

    def __init__(self, qtbot: QtBot) -> None:
        self.model = QStringListModel()
        self.qts = QListView()
        self.qts.setModel(self.model)
        self.qts.setUniformItemSizes(True)
        self.qts.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.qts.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.ours = UniformList(HEIGHT, self.model)
        self.views = (self.qts, self.ours)
        self.lines = [Lines(view) for view in self.views]
        for view, lines_of_view in zip(self.views, self.lines, strict=True):
            qtbot.addWidget(view)
            view.setItemDelegate(lines_of_view)
            view.setSelectionMode(QListView.SelectionMode.ExtendedSelection)
            view.setFrameShape(QListView.Shape.NoFrame)
            view.resize(180, ROOM)
            view.show()
            qtbot.waitExposed(view)
        self.begin(60)

    def begin(self, lines: int) -> None:
        self.model.setStringList([f"line {number}" for number in range(lines)])
        QApplication.processEvents()
        for view in self.views:
            view.verticalScrollBar().setValue(0)

    def scrolled(self) -> list[int]:
        return [view.verticalScrollBar().value() for view in self.views]

    def selected(self) -> list[list[int]]:
        return [sorted(index.row() for index in view.selectedIndexes()) for view in self.views]

    def current(self) -> list[int]:
        return [view.currentIndex().row() for view in self.views]


@pytest.fixture
def both(qtbot: QtBot) -> Iterator[Both]:
    views = Both(qtbot)
    yield views
    for view in views.views:
        view.hide()


def check(pair: Sequence[object], about: object = None) -> None:
    qts, ours = pair
    assert ours == qts, about


WORK = st.lists(
    st.one_of(
        st.tuples(st.just("put"), st.integers(0, 70)),
        st.tuples(st.just("drop"), st.integers(0, 70)),
        st.tuples(st.sampled_from(list(Hint)), st.integers(0, 70)),
        st.tuples(st.just("scroll"), st.integers(0, 1_400)),
    ),
    max_size=12,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(work=WORK, at=st.integers(-30, ROOM + 30))
def test_lines_stand_where_qt_puts_them(work: list[tuple[object, int]], at: int, both: Both) -> None:
    """Also after lines came and went, and wherever it is scrolled to."""
    model = both.model
    both.begin(60)
    for what, row in work:
        if what == "put":
            model.insertRow(min(row, model.rowCount()))
        elif what == "drop" and row < model.rowCount():
            model.removeRow(row)
        QApplication.processEvents()
        for view in both.views:
            if what == "scroll":
                view.verticalScrollBar().setValue(row)
            elif isinstance(what, Hint):
                view.scrollTo(model.index(row, 0), what)
        check(both.scrolled())
    for view in both.views:
        view.verticalScrollBar().setValue(both.scrolled()[0])
    check([view.verticalScrollBar().maximum() for view in both.views])
    check([view.indexAt(QPoint(5, at)).row() for view in both.views])
    for row in range(model.rowCount()):
        check([view.visualRect(model.index(row, 0)) for view in both.views])


KEYS = [
    *(Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Home, Qt.Key.Key_End),
    *(Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Space),
]
HELD = [
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(start=st.integers(-1, 59), work=st.lists(st.tuples(st.sampled_from(KEYS), st.sampled_from(HELD)), max_size=8))
def test_keys_go_and_select_where_they_do_in_qts(
    start: int, work: list[tuple[Qt.Key, Qt.KeyboardModifier]], both: Both
) -> None:
    both.begin(60)
    for view in both.views:
        view.setFocus()
        if start >= 0:
            view.setCurrentIndex(both.model.index(start, 0))
    for key, held in work:
        for view in both.views:
            QTest.keyClick(view, key, held)
        check(both.current(), (key, held))
        check(both.selected(), (key, held))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(scrolled=95, work=[(5, HELD[0], False), (4, HELD[1], False)], lines=3)
@example(scrolled=0, work=[(186, HELD[0], True)], lines=3)
@example(scrolled=0, work=[(186, HELD[0], False), (19, HELD[1], False)], lines=3)
@given(
    scrolled=st.integers(0, 1_000),
    work=st.lists(st.tuples(st.integers(1, ROOM - 1), st.sampled_from(HELD), st.booleans()), max_size=5),
    lines=st.integers(0, 12),
)
def test_clicks_and_drags_select_what_they_do_in_qts(
    scrolled: int, work: list[tuple[int, Qt.KeyboardModifier, bool]], lines: int, both: Both
) -> None:
    both.begin(lines * 5)
    for view in both.views:
        view.verticalScrollBar().setValue(scrolled)
    for at, held, drags in work:
        for view in both.views:
            QTest.mousePress(view.viewport(), Qt.MouseButton.LeftButton, held, QPoint(9, at))
            if drags:
                QTest.mouseMove(view.viewport(), QPoint(30, ROOM - at))
            QTest.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, held, QPoint(30, ROOM - at if drags else at))
        check(both.selected())
        check(both.current())


def test_it_paints_the_states_that_qt_paints(both: Both, qtbot: QtBot) -> None:
    painted = []
    for view, lines in zip(both.views, both.lines, strict=True):
        view.activateWindow()
        view.setFocus()
        view.verticalScrollBar().setValue(95)
        for row in (5, 7, 8):
            view.selectionModel().select(both.model.index(row, 0), view.selectionModel().SelectionFlag.Select)
        view.selectionModel().setCurrentIndex(both.model.index(7, 0), view.selectionModel().SelectionFlag.NoUpdate)
        qtbot.waitUntil(view.hasFocus)
        lines.states.clear()
        view.grab()
        painted.append(dict(lines.states))
    check(painted)
    assert list(painted[1]) == list(range(4, 15))


def test_what_is_marked_is_painted_anew_as_one_region(both: Both) -> None:
    marks = QItemSelection(both.model.index(2, 0), both.model.index(50, 0))
    region = both.ours.visualRegionForSelection(marks).boundingRect()
    assert (region.top(), region.bottom()) == (2 * HEIGHT, ROOM - 1)
    assert both.ours.visualRegionForSelection(QItemSelection()).isEmpty()


class Counted(QStringListModel):
    """Counts how often it was asked for its number of lines, as Qt's own list does at each of them."""

    asked = 0

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008
        self.asked += 1
        return super().rowCount(parent)


def test_a_line_that_comes_or_goes_asks_no_other(qtbot: QtBot) -> None:
    model = Counted([f"line {number}" for number in range(5_000)])
    view = UniformList(HEIGHT, model)
    qtbot.addWidget(view)
    view.show()
    qtbot.waitExposed(view)
    QApplication.processEvents()
    model.asked = 0
    model.removeRow(2_500)
    model.insertRow(10)
    model.dataChanged.emit(model.index(20), model.index(20))
    view.setCurrentIndex(model.index(4_000))
    QApplication.processEvents()
    assert 0 < model.asked < 1_000
    assert view.indexAt(QPoint(1, 1)).row() > 3_900


def test_every_line_has_its_place_once(both: Both) -> None:
    rects = [both.ours.visualRect(both.model.index(row, 0)) for row in range(60)]
    assert all(below.top() == above.bottom() + 1 for above, below in pairwise(rects))


def test_only_lines_that_changed_or_moved_are_painted_anew(both: Both) -> None:
    model, lines, view = both.model, both.lines[1], both.ours

    def painted_after(row: int, change: Callable[[int], object]) -> list[int]:
        lines.states.clear()
        change(row)
        QApplication.processEvents()
        QApplication.processEvents()  # what Qt puts off to the next time
        return list(lines.states)

    view.verticalScrollBar().setValue(100)
    painted_after(0, lambda _: None)
    assert painted_after(40, model.insertRow) == []
    assert painted_after(40, model.removeRow) == []
    assert painted_after(40, lambda row: model.setData(model.index(row), "other")) == []
    assert painted_after(8, lambda row: model.setData(model.index(row), "other")) == [8]
    assert painted_after(12, model.insertRow) == [12, 13, 14, 15]
    assert painted_after(12, model.removeRow) == [12, 13, 14, 15]
    assert painted_after(0, model.removeRow) == list(range(5, 16))
