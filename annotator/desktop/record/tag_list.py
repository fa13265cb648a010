"""The tag list: one line a tag in order of time, events under the step they fall in."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QModelIndex, Qt
from PySide6.QtGui import QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.record.delegate import RecordDelegate
from annotator.desktop.record.model import RecordModel
from annotator.desktop.record.rows import ROLE, Part, RecordRow, Typing
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW
from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.widgets.scroll import ScrollGuard
from annotator.desktop.widgets.uniform_list import UniformList
from annotator.model.timecode import Ms
from annotator.store.session import Change


class TagList(UniformList):
    """The list; a choice here is the window's choice, Enter or a double click goes there."""

    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        self.record = RecordModel(controller)
        super().__init__(ROW, self.record, parent)
        self.record.setParent(self)
        self._controller = controller
        self._is_told = False
        self._typed: Typing | None = None
        self._scroll_guard = ScrollGuard(self)
        self._scroll_guard.watch(self)
        self.lines = RecordDelegate(self.record, theme, self)
        self.setItemDelegate(self.lines)
        self.setAccessibleName("Tag list")
        self.setProperty("holds", "tags")  # for the keys that select and copy them
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click must not take the arrows from the picture
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.selectionModel().selectionChanged.connect(self._select)
        self.selectionModel().currentChanged.connect(self._select)
        self.activated.connect(self._go_there)
        controller.changed.connect(self._refresh)
        controller.selection_changed.connect(self._show_selection)

    def follow(self, at: Ms) -> None:
        """Keep the tags of the shown frame in view, unless somebody is reading elsewhere in the list."""
        is_read = self._scroll_guard.is_reading or self.underMouse() or self.hasFocus() or self._is_edited()
        if self.record.follow(at):
            self.viewport().update()
            if not is_read:
                self.scrollTo(self.record.index(max(self.record.last_begun(at), 0)))

    def edit_start(self) -> None:
        """Let the selected line's start be typed where it stands; the others likewise."""
        self._edit(Part.START)

    def edit_end(self) -> None:
        self._edit(Part.END)

    def edit_step(self) -> None:
        self._edit(Part.STEP)

    def edit_note(self) -> None:
        self._edit(Part.NOTE)

    def edit_by(self) -> None:
        self._edit(Part.BY)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Tab goes on to the next part of the same line; what was refused stays to be mended."""
        ends = QAbstractItemDelegate.EndEditHint
        typing, refused, self.lines.refused = self._typed, self.lines.refused, None
        super().closeEditor(editor, ends.NoHint)
        if refused is not None and hint != ends.RevertModelCache:
            self._open(refused)
        elif typing is not None and hint in (ends.EditNextItem, ends.EditPreviousItem):
            parts, by = list(Part), 1 if hint == ends.EditNextItem else -1
            following = parts[(parts.index(typing.part) + by) % len(parts)]
            self._begin(following, typing.tag_id, typing.tag_ids)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        end_typing()
        super().mousePressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def narrow(self, words: str) -> None:
        """Show only the tags that the words fit; what is selected stays so, seen or not."""
        if self._finish():
            with self._telling():
                self.record.narrow(words)
            self._show_selection()

    def _edit(self, part: Part) -> None:
        """Open a field for what is selected. What was typed in another goes where it belongs, or stays to be mended."""
        if self._finish():
            selected = self._controller.selected
            if selected is not None:
                self._begin(part, selected.id, [one.id for one in self._controller.all_selected])

    def _finish(self) -> bool:
        """Put in what is typed; returns whether no field is open any more."""
        editor = self.lines.editor
        if editor is not None:
            self.commitData(editor)
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
        return self.lines.editor is None

    def _begin(self, part: Part, tag_id: str, together: Sequence[str]) -> None:
        row = self.record.row_of(tag_id)
        if row is not None:
            text = self.record.text_of(self.record.index(row), part)
            self._open(Typing(part, tag_id, tuple(together), text, text))

    def _open(self, typing: Typing) -> None:
        row = self.record.row_of(typing.tag_id)
        if row is not None:
            self.lines.opens = self._typed = typing
            self.scrollTo(self.record.index(row))
            self.edit(self.record.index(row))

    def _is_edited(self) -> bool:
        return self.state() == QAbstractItemView.State.EditingState

    def _refresh(self, change: Change) -> None:
        """Qt closes the field of a line that goes, also of one that only comes back elsewhere."""
        typing = None if self.lines.is_putting else self.lines.typing
        with self._telling():
            self.record.refresh(change)
        self._show_selection()
        if typing is not None and self.lines.editor is None:
            self._open_again(typing)

    def _open_again(self, typing: Typing) -> None:
        if self.record.row_of(typing.tag_id) is not None:
            self._open(typing)
        elif typing.is_changed:
            self._controller.said.emit(f"The tag you were typing “{typing.text}” in is gone", True)

    def _select(self) -> None:
        """Tell the choice made here. Qt tells first the lines that are marked, then the one with the focus."""
        if self._is_told:
            return
        rows = sorted(index.row() for index in self.selectedIndexes())
        ids = [self.record.tag_at(row).id for row in rows]
        current = self.currentIndex().row()
        with self._telling():
            if ids:
                self._controller.select(ids[rows.index(current)] if current in rows else ids[-1], ids)

    def _show_selection(self) -> None:
        if self._is_told:
            return
        ids = [tag.id for tag in self._controller.all_selected]
        selected = self._controller.selected
        with self._telling():
            marks = QItemSelection()
            for tag_id in ids:
                number = self.record.row_of(tag_id)
                if number is not None:
                    marks.select(self.record.index(number), self.record.index(number))
            self.selectionModel().select(marks, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            row = self.record.row_of(selected.id if selected else None)
            index = QModelIndex() if row is None else self.record.index(row)
            self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)

    @contextmanager
    def _telling(self) -> Iterator[None]:
        """While this view and the controller tell one another, neither answers."""
        before, self._is_told = self._is_told, True
        try:
            yield
        finally:
            self._is_told = before

    def _go_there(self, index: QModelIndex) -> None:
        row = index.data(ROLE)
        if isinstance(row, RecordRow):
            self._controller.go_to_tag(row.tag_id)
