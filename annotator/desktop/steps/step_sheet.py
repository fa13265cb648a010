"""The step list, in the order of the operation. A click looks; Enter or a row's own button tags."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPersistentModelIndex, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QAction, QFocusEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QListView, QVBoxLayout, QWidget

from annotator.desktop.commands.actions import Keys
from annotator.desktop.editing.controller import Controller
from annotator.desktop.steps.kind_box import KindBox
from annotator.desktop.steps.sheet_delegate import SheetDelegate, button_in
from annotator.desktop.steps.sheet_model import SheetModel
from annotator.desktop.steps.sheet_rows import SheetRow
from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.controls import FoldButton, end_typing, label
from annotator.desktop.widgets.filter_field import FilterField
from annotator.desktop.widgets.line_wrap import LineWrap
from annotator.desktop.widgets.row_model import ROLE
from annotator.desktop.widgets.scroll import ScrollGuard
from annotator.model.timecode import Ms


class StepSheet(QWidget):
    """The sheet with its field to find a step.

    tagged   the IRI of the concept that was entered, or whose button was pressed
    looked   the IRI of the concept whose row was clicked
    added    what a missing concept is called, and the notation of what it stands under, empty where that is to be asked
    """

    tagged = Signal(str)
    added = Signal(str, str)
    looked = Signal(str)

    def __init__(
        self,
        controller: Controller,
        keys: Keys,
        actions: Mapping[str, QAction],
        theme: Theme,
        used: Mapping[str, int],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setProperty("kind", "side")
        self.setProperty("edge", "right")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._controller = controller
        self.model = SheetModel(controller, keys, used, self)
        self.kind = KindBox(controller, self)
        self.field = _Field(theme, self)
        self.says = label("", "warning")
        self.says.setWordWrap(True)
        self.says.setContentsMargins(3 * UNIT, 0, 3 * UNIT, UNIT)
        self.says.hide()
        self._followed = ""
        self._scroll_guard = ScrollGuard(self)
        self.view = _Rows(self)
        self.view.setModel(self.model)
        self.view.use(SheetDelegate(self.model, theme, self.view))
        self._scroll_guard.watch(self.view)
        self._join()
        self._lay_out(FoldButton(actions["fold_sheet"], "Collapse the step list", Icon.FOLD_LEFT, theme))

    def _join(self) -> None:
        self.field.textChanged.connect(self._filter)
        self.field.focus_changed.connect(self._mark_first)
        self.field.moved.connect(self._move_mark)
        self.field.returnPressed.connect(self._tag_marked)
        self.view.pressed_button.connect(self._tag)
        self.view.entered_row.connect(self._tag)
        self.view.looked_at.connect(self._look)

    def _lay_out(self, fold: FoldButton) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2 * UNIT, 1, 0)
        column.setSpacing(UNIT)
        around = QHBoxLayout()
        around.setContentsMargins(2 * UNIT, 0, 3 * UNIT, UNIT)
        around.setSpacing(UNIT)
        around.addWidget(fold)  # at the edge, where the strip has its button: it stays under the pointer
        around.addWidget(self.field, 1)
        column.addLayout(around)
        of_kind = QHBoxLayout()
        of_kind.setContentsMargins(3 * UNIT, 0, 3 * UNIT, UNIT)
        of_kind.addWidget(self.kind)
        column.addLayout(of_kind)
        column.addWidget(self.says)
        column.addWidget(self.view, 1)

    def refresh(self, at: Ms) -> None:
        """Show times and what runs; scroll to the step of the shown frame when it becomes another one.

        Whoever has just scrolled is reading, and is not carried away; nor is what the pointer is about to click, nor
        who looks for a step.
        """
        self.model.refresh(at)
        self._say_what_comes()
        step = self.model.covering_step()
        is_used = self._scroll_guard.is_reading or self.view.underMouse() or self.model.marked is not None
        if step != self._followed and not is_used:
            self._followed = step
            if step:
                self.reveal(step)

    def reveal(self, concept: str) -> None:
        """Scroll so that a concept's row is seen with its neighbours."""
        row = self.model.row_of(concept)
        if row is not None:
            self.view.scrollTo(self.model.index(row), QListView.ScrollHint.PositionAtCenter)

    def sizeHint(self) -> QSize:
        return QSize(276, 20 * ROW)

    # --- finding a step ------------------------------------------------------------------------------------------

    def _filter(self, words: str) -> None:
        self.model.filter(words)
        self._mark_first()

    def _mark_first(self) -> None:
        """What Enter takes is marked while words are typed, and only then."""
        finds = self.field.hasFocus() and bool(self.field.text().strip()) and self.model.rowCount() > 0
        self._mark(0 if finds else None)

    def _move_mark(self, by: int) -> None:
        if self.model.marked is not None:
            self._mark(min(max(self.model.marked + by, 0), self.model.rowCount() - 1))

    def _mark(self, number: int | None) -> None:
        self.model.mark(number)
        row = self._marked
        does = "" if row is None else f"Enter: {row.text}" if row.adds else f"Enter tags {row.text}"
        self.field.setAccessibleDescription(does)
        if number is not None:
            self.view.scrollTo(self.model.index(number))
        self._say_what_comes()

    @property
    def _marked(self) -> SheetRow | None:
        number = self.model.marked
        return None if number is None else self.model.index(number).data(ROLE)

    def _say_what_comes(self) -> None:
        """What else Enter would do, or that there is no such step."""
        row, says = self._marked, ""
        if row is not None and row.concept and (before := self._controller.replaced_by(row.concept)):
            says = f"{before} starts at this frame: Enter changes it to {row.text}."
        elif not self.model.fits:
            words = self.field.text().strip()
            near = any(one.concept for one in self.model.shown)
            says = f"Nothing is called “{words}”; this is similar." if near else f"No step matches “{words}”."
        self.says.setText(says)
        self.says.setVisible(bool(says))

    def _tag_marked(self) -> None:
        row = self._marked
        if row is not None:
            self._take(row)
            self._leave_field(row)

    def _leave_field(self, row: SheetRow) -> None:
        """Show the row in its place in the whole list, that of a step that has just been added too."""
        self.field.leave()
        concept = row.concept or self.model.covering_step()
        if concept:
            self.reveal(concept)

    def _take(self, row: SheetRow) -> None:
        if row.adds:
            self.added.emit(row.adds, row.under)
        else:
            self.tagged.emit(row.concept)

    # --- rows ------------------------------------------------------------------------------------------------------

    def _tag(self, index: QModelIndex) -> None:
        row = index.data(ROLE)
        if isinstance(row, SheetRow) and not row.is_heading:
            self._take(row)

    def _look(self, index: QModelIndex) -> None:
        row = index.data(ROLE)
        if isinstance(row, SheetRow) and not row.is_heading:
            if row.adds:
                self._take(row)
                self._leave_field(row)
            else:
                self.looked.emit(row.concept)


class _Rows(QListView):
    """Shows where the keys are as soon as they lead here: at a row that is in sight.

    looked_at       a row was clicked
    pressed_button  the button in a row was
    entered_row     Return was pressed on a row
    """

    looked_at = Signal(QModelIndex)
    pressed_button = Signal(QModelIndex)
    entered_row = Signal(QModelIndex)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Step list")
        LineWrap(self)
        self.setMouseTracking(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._pressed: tuple[QModelIndex, bool] = (QModelIndex(), False)
        self._delegate: SheetDelegate | None = None

    def dataChanged(
        self,
        topLeft: QModelIndex | QPersistentModelIndex,  # noqa: N803  # Qt's own names
        bottomRight: QModelIndex | QPersistentModelIndex,  # noqa: N803
        roles: Sequence[int] = (),
    ) -> None:
        """Paint these rows alone: no row's height depends on what changes in it, and QListView would paint all."""
        QAbstractItemView.dataChanged(self, topLeft, bottomRight, roles)

    def use(self, delegate: SheetDelegate) -> None:
        """Let it paint the rows, and know where the pointer is."""
        self._delegate = delegate
        self.setItemDelegate(delegate)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        self._point(event.position().toPoint())

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._point(None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        end_typing()
        super().mousePressEvent(event)
        self._pressed = self._under(event.position().toPoint())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        index, on_button = self._under(event.position().toPoint())
        if event.button() == Qt.MouseButton.LeftButton and index.isValid() and (index, on_button) == self._pressed:
            (self.pressed_button if on_button else self.looked_at).emit(index)
        self._pressed = (QModelIndex(), False)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        # The second press of a quick pair; Qt would take it for more than a press.
        self.mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered_row.emit(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        in_sight = self.viewport().rect().contains(self.visualRect(self.currentIndex()))
        if not self.currentIndex().isValid() or not in_sight:
            rows = (self.model().index(row, 0) for row in range(self.model().rowCount()))
            usable = (index for index in rows if index.flags() & Qt.ItemFlag.ItemIsEnabled)
            first = next((index for index in usable if self.visualRect(index).top() >= 0), QModelIndex())
            self.selectionModel().setCurrentIndex(first, QItemSelectionModel.SelectionFlag.NoUpdate)

    def _under(self, place: QPoint) -> tuple[QModelIndex, bool]:
        """The row there, and whether its button is."""
        index = self.indexAt(place)
        row = index.data(ROLE)
        return index, isinstance(row, SheetRow) and button_in(self.visualRect(index), row).contains(place)

    def _point(self, place: QPoint | None) -> None:
        if self._delegate is not None:
            self._delegate.pointed_at = place
            self.viewport().update()


class _Field(FilterField):
    """Finds a step; Escape empties it and gives the keys back.

    focus_changed  it has got the keys, or given them back
    moved          by how many rows the mark should move
    """

    focus_changed = Signal()
    moved = Signal(int)

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__("Find step", theme, parent)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        by = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
        else:
            self.moved.emit(by)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.focus_changed.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.focus_changed.emit()
