"""A list whose lines are all equally high: where one stands follows from its number, however many there are."""

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractItemModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    Qt,
)
from PySide6.QtGui import QCursor, QPainter, QPaintEvent, QRegion
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyle, QStyleOptionViewItem, QWidget

_Move = QAbstractItemView.CursorAction
_Hint = QAbstractItemView.ScrollHint


class UniformList(QListView):
    """Qt's own list goes through all its lines whenever one comes, goes or changes, at 50,000 for 10 ms each time.

    So all that it would look up in what it lays out is worked out here. For lines of one column, none of them hidden
    or disabled, one below the other.
    """

    def __init__(self, line_height: int, model: QAbstractItemModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._line_height = line_height
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setModel(model)
        model.rowsRemoved.connect(self._move_on)

    # QListView would lay out, and paint, all lines anew for each of these.

    def dataChanged(
        self,
        topLeft: QModelIndex | QPersistentModelIndex,  # noqa: N803  # Qt's own names, as in all that it calls
        bottomRight: QModelIndex | QPersistentModelIndex,  # noqa: N803
        roles: Sequence[int] = (),
    ) -> None:
        QAbstractItemView.dataChanged(self, topLeft, bottomRight, roles)

    def rowsInserted(self, parent: QModelIndex | QPersistentModelIndex, start: int, end: int) -> None:
        QAbstractItemView.rowsInserted(self, parent, start, end)
        self._move_on(parent, start)

    def rowsAboutToBeRemoved(self, parent: QModelIndex | QPersistentModelIndex, start: int, end: int) -> None:
        QAbstractItemView.rowsAboutToBeRemoved(self, parent, start, end)

    def _move_on(self, _parent: QModelIndex | QPersistentModelIndex, start: int) -> None:
        """Lines came or went: those from `start` on stand elsewhere; those above stay as they are painted."""
        self.resizeContents(self.viewport().width(), self._count() * self._line_height)
        self.updateGeometries()
        moved = self.viewport().rect()
        moved.setTop(max(self._rect(start).top(), 0))
        self.viewport().update(moved)

    def doItemsLayout(self) -> None:
        self.resizeContents(self.viewport().width(), self._count() * self._line_height)
        QAbstractItemView.doItemsLayout(self)  # without that of QListView, which would go through the lines

    def visualRect(self, index: QModelIndex | QPersistentModelIndex) -> QRect:
        return self._rect(index.row()) if index.isValid() else QRect()

    def indexAt(self, p: QPoint) -> QModelIndex:
        rows = self._rows(p.y(), p.y())
        return self.model().index(rows[0], 0) if rows and 0 <= p.x() < self.viewport().width() else QModelIndex()

    def scrollTo(self, index: QModelIndex | QPersistentModelIndex, hint: _Hint = _Hint.EnsureVisible) -> None:
        if not index.isValid():
            return
        self.executeDelayedItemsLayout()  # else the bar may not reach as far yet
        bar, as_first = self.verticalScrollBar(), index.row() * self._line_height
        spare = self.viewport().height() - self._line_height
        places = {
            _Hint.EnsureVisible: min(max(bar.value(), as_first - spare), as_first),
            _Hint.PositionAtTop: as_first,
            _Hint.PositionAtBottom: as_first - spare,
            _Hint.PositionAtCenter: as_first - spare // 2,
        }
        bar.setValue(places[hint])

    def moveCursor(self, action: _Move, modifiers: Qt.KeyboardModifier) -> QModelIndex:
        row, last = self.currentIndex().row(), self._count() - 1
        page = max(self.viewport().height() // self._line_height - 1, 1)
        by = {_Move.MoveUp: -1, _Move.MovePrevious: -1, _Move.MoveDown: 1, _Move.MoveNext: 1}
        by |= {_Move.MovePageUp: -page, _Move.MovePageDown: page, _Move.MoveHome: -row, _Move.MoveEnd: last - row}
        if last < 0:
            return QModelIndex()
        at = 0 if row < 0 and action != _Move.MoveEnd else row + by.get(action, 0)
        return self.model().index(min(max(at, 0), last), 0)

    def setSelection(self, rect: QRect, command: QItemSelectionModel.SelectionFlag) -> None:
        marks = QItemSelection()
        is_drag = self.state() == QAbstractItemView.State.DragSelectingState
        area = rect.normalized() if is_drag else rect  # else from a line to another, in either order
        rows = self._rows(*sorted((area.top(), area.bottom())))
        if rows:
            marks.select(self.model().index(rows[0], 0), self.model().index(rows[-1], 0))
        self.selectionModel().select(marks, command)

    def visualRegionForSelection(self, selection: QItemSelection) -> QRegion:
        region = QRegion()
        for marks in map(selection.at, range(selection.count())):
            region += self._rect(marks.top()).united(self._rect(marks.bottom()))
        return region.intersected(self.viewport().rect())

    def paintEvent(self, event: QPaintEvent) -> None:
        self.executeDelayedItemsLayout()
        pointer = self.viewport().mapFromGlobal(QCursor.pos())
        under_pointer = self.indexAt(pointer) if self.viewport().underMouse() else QModelIndex()
        focused = self.currentIndex() if self.hasFocus() else QModelIndex()
        states = QStyle.StateFlag
        painter = QPainter(self.viewport())
        for row in self._rows(event.rect().top(), event.rect().bottom()):
            index, option = self.model().index(row, 0), QStyleOptionViewItem()
            self.initViewItemOption(option)
            option.rect = self._rect(row)
            for state, is_on in (
                (states.State_Selected, self.selectionModel().isSelected(index)),
                (states.State_MouseOver, index == under_pointer),
                (states.State_HasFocus, index == focused),
            ):
                option.state = option.state | state if is_on else option.state & ~state
            self.itemDelegate().paint(painter, option, index)
        painter.end()

    def _count(self) -> int:
        """Qt has no model to give any more while the list goes."""
        model = self.model()
        return model.rowCount() if model else 0

    def _rect(self, row: int) -> QRect:
        """In pixels of what is seen, as all rectangles here."""
        top = row * self._line_height - self.verticalScrollBar().value()
        return QRect(0, top, self.viewport().width(), self._line_height)

    def _rows(self, top: int, bottom: int) -> range:
        """Those with a pixel from `top` to `bottom`."""
        scrolled = self.verticalScrollBar().value()
        first, last = ((y + scrolled) // self._line_height for y in (top, bottom))
        return range(max(first, 0), min(last + 1, self._count()))
