"""The fields in which a line of the running record is typed anew, each where its part of the line stands."""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, QRect, Qt
from PySide6.QtWidgets import QComboBox, QCompleter, QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from annotator.desktop.controls import choices, dense
from annotator.desktop.record_columns import CHOICE_FIELD, TIME_FIELD, columns_of
from annotator.desktop.record_rows import NAMES, Part
from annotator.desktop.tag_panel import NOBODY
from annotator.desktop.tokens import UNIT
from annotator.model.case import Performer

if TYPE_CHECKING:
    from annotator.desktop.record_model import RecordModel

Index = QModelIndex | QPersistentModelIndex


class RecordEditors(QStyledItemDelegate):
    """`edits` says which part of the line is typed; `refused` is what was typed and could not be put in."""

    def __init__(self, model: "RecordModel", parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self.edits = Part.STEP
        self.refused: str | None = None

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        if self.edits is Part.BY:
            box = dense(choices(NAMES[self.edits], [NOBODY, *Performer]))
            box.setParent(parent)
            box.activated.connect(partial(self._close, box))
            return box
        field = QLineEdit(parent)
        field.setAccessibleName(NAMES[self.edits])
        field.setProperty("dense", True)
        field.setPlaceholderText("A note…" if self.edits is Part.NOTE else "")
        if self.edits is Part.STEP:
            known = QCompleter(self._model.names_for(index), field)
            known.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            known.setFilterMode(Qt.MatchFlag.MatchContains)
            field.setCompleter(known)
            field.returnPressed.connect(partial(self._finish, field, known))
        return field

    def _finish(self, field: QLineEdit, known: QCompleter) -> None:
        """While names are offered, Qt hands Return past the delegate, straight to the field."""
        names = known.popup()
        if names is not None and names.isVisible():
            names.hide()
            self._close(field)

    def _close(self, editor: QWidget, *_: Any) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """Where the part stands that is typed, with as much room as its words need."""
        at = columns_of(option.rect, self._model.is_indented(index))
        words = at.after(at.name.left() - 2 * UNIT)
        places: dict[Part, QRect] = {
            Part.START: QRect(at.time.left() - 2 * UNIT, at.time.top(), TIME_FIELD, at.time.height()),
            Part.END: at.last(TIME_FIELD),
            Part.STEP: words,
            Part.BY: at.last(CHOICE_FIELD),
            Part.NOTE: words,
        }
        editor.setGeometry(places[self.edits])

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, QLineEdit):
            editor.setText(index.data(self.edits) if self.refused is None else self.refused)
            editor.end(False)
            editor.home(True)  # all of it, and its beginning in sight
        elif isinstance(editor, QComboBox):
            editor.setCurrentText(index.data(self.edits) or NOBODY)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        text = editor.text() if isinstance(editor, QLineEdit) else ""
        if isinstance(editor, QComboBox):
            text = editor.currentText() if editor.currentIndex() else ""
        self.refused = None if model.setData(index, text, self.edits) else text
