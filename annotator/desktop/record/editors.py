"""The fields for editing a line of the tag list, each over its part of the line."""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QLineEdit,
    QPlainTextEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from annotator.desktop.record.columns import CHOICE_FIELD, TIME_FIELD, columns_of
from annotator.desktop.record.rows import Part, Typing
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import LineEdit, choices, dense
from annotator.desktop.widgets.form_line import is_enter
from annotator.desktop.widgets.form_text import TextEdit
from annotator.model.roles import NOBODY

if TYPE_CHECKING:
    from annotator.desktop.record.model import RecordModel

Index = QModelIndex | QPersistentModelIndex


class RecordEditors(QStyledItemDelegate):
    """One field at a time. `opens` is what the next one will be for, `refused` what could not be put in."""

    opens: Typing

    def __init__(self, model: "RecordModel", parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._typing: Typing | None = None
        self.editor: QWidget | None = None
        self.refused: Typing | None = None
        self.is_putting = False

    @property
    def typing(self) -> Typing | None:
        """What is typed as it stands now; None while no field is open."""
        if self._typing is None or self.editor is None:
            return None
        return self._typing._replace(text=_text_in(self.editor))

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        typing = self.opens
        made = self._made(typing, index, parent)
        made.setParent(parent)
        _show(made, typing.text)
        self._typing, self.editor = typing, made
        return made

    def _made(self, typing: Typing, index: Index, parent: QWidget) -> QWidget:
        if typing.part is Part.BY:
            return self._choice(typing.field)
        if typing.part is Part.NOTE:
            return self._note(typing.field, parent)
        return self._line(typing.field, typing.part, index)

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        if editor is self.editor:
            self._typing = self.editor = None
        super().destroyEditor(editor, index)

    def _choice(self, name: str) -> QWidget:
        box = dense(choices(name, [NOBODY, *self._model.roles()]))
        box.activated.connect(partial(self._take_choice, box))
        return box

    def _note(self, name: str, parent: QWidget) -> QWidget:
        field = _NoteField(name, parent)
        field.left.connect(partial(self._close, field))
        field.document().documentLayout().documentSizeChanged.connect(field.fit)
        return field

    def _line(self, name: str, part: Part, index: Index) -> QWidget:
        field = LineEdit()
        field.setAccessibleName(name)
        field.setProperty("dense", True)
        if part is Part.STEP:
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

    def _take_choice(self, box: QComboBox, *_: Any) -> None:
        """What was chosen expressly is for all tags, also where the first of them has it already."""
        if self._typing is not None:
            self._typing = self._typing._replace(was=None)
            self._close(box)

    def _close(
        self, editor: QWidget, hint: QStyledItemDelegate.EndEditHint = QStyledItemDelegate.EndEditHint.NoHint
    ) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, hint)

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """Where the part stands that is typed, with as much room as its words need."""
        if self._typing is None:
            return
        at = columns_of(option.rect, self._model.is_indented(index), self._model.has_hours)
        words = at.after(at.name.left() - 2 * UNIT)
        places: dict[Part, QRect] = {
            Part.START: QRect(at.time.left() - 2 * UNIT, at.time.top(), TIME_FIELD, at.time.height()),
            Part.END: at.last(TIME_FIELD),
            Part.STEP: words,
            Part.BY: at.last(CHOICE_FIELD),
            Part.NOTE: words,
        }
        editor.setGeometry(places[self._typing.part])
        if isinstance(editor, _NoteField):
            editor.stand(option.rect.top())

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """The line has changed beside the field: what was not typed yet follows it, what was typed stays."""
        typing = self.typing
        if typing is not None and not typing.is_changed:
            now = self._model.text_of(index, typing.part)
            _show(editor, now)
            self._typing = typing._replace(was=now, text=now)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        typing = self.typing
        if typing is None or not typing.is_changed:
            return
        self.is_putting = True
        try:
            done = self._model.put(typing)
        finally:
            self.is_putting = False
        self.refused = None if done else typing


class _NoteField(TextEdit):
    """In a line of the list Return takes what is typed, as in any of its fields; Shift+Return starts a new line.

    left  the field is done with; carries what should be edited next
    """

    left = Signal(object)

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(name, parent)
        self._list = parent
        self._top = 0
        self.setPlaceholderText("A note…")
        self.setTabChangesFocus(False)
        self.setProperty("taken_by", "Return confirms, Shift+Return starts a new line")

    def stand(self, top: int) -> None:
        """Stand at the line whose upper edge is there."""
        self._top = top
        self.fit()

    def fit(self, *_: Any) -> None:
        """Be as high as the lines typed, upwards where there is no room below."""
        lowest = self._list.height() - self.fitting_height
        self.setGeometry(self.x(), max(min(self._top, lowest), 0), self.width(), self.fitting_height)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Qt leaves Return and Tab to fields of several lines."""
        ends = QStyledItemDelegate.EndEditHint
        if is_enter(event) and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.left.emit(ends.NoHint)
        elif event.key() == Qt.Key.Key_Tab:
            self.left.emit(ends.EditNextItem)
        elif event.key() == Qt.Key.Key_Backtab:
            self.left.emit(ends.EditPreviousItem)
        elif is_enter(event):
            self.insertPlainText("\n")
        else:
            super().keyPressEvent(event)


def _text_in(editor: QWidget) -> str:
    if isinstance(editor, QPlainTextEdit):
        return editor.toPlainText()
    if isinstance(editor, QComboBox):
        return editor.currentText() if editor.currentIndex() else ""
    return editor.text() if isinstance(editor, QLineEdit) else ""


def _show(editor: QWidget, text: str) -> None:
    if isinstance(editor, QLineEdit):
        editor.setText(text)
        editor.end(False)
        editor.home(True)  # all of it, and its beginning in sight
    elif isinstance(editor, QPlainTextEdit):
        editor.setPlainText(text)
        editor.selectAll()
    elif isinstance(editor, QComboBox):
        editor.setCurrentText(text or NOBODY)
