"""The chosen tag: when, and what is said of it."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFormLayout, QLineEdit, QVBoxLayout, QWidget

from annotator.desktop import typeface
from annotator.desktop.controller import Controller
from annotator.desktop.controls import choices, label
from annotator.desktop.tokens import UNIT
from annotator.model import edits
from annotator.model.case import Certainty, Performer, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import clock

_NOBODY = "not said"


class TagPanel(QWidget):
    """Shows the chosen tag; a field that is left or chosen is put through the gate at once."""

    def __init__(self, controller: Controller, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._controller = controller
        self._name = label("", "title")
        self._name.setTextFormat(Qt.TextFormat.PlainText)
        self._none = label("Choose a line above to see it here.", "second")
        self._none.setWordWrap(True)
        self._starts, self._ends = label(""), label("")
        for time in (self._starts, self._ends):
            time.setFont(typeface.figures())
        self._by = choices("Done by", [_NOBODY, *Performer])
        self._certainty = choices("Certainty", list(Certainty))
        self._noted = ""
        self._note = QLineEdit()
        self._note.setAccessibleName("Note")
        self._note.setPlaceholderText("A note…")
        self._fields = QWidget()
        form = self._form = QFormLayout(self._fields)
        form.setContentsMargins(0, 0, 0, 0)
        form.setHorizontalSpacing(3 * UNIT)
        form.setVerticalSpacing(2 * UNIT)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for words, field in (
            ("starts", self._starts),
            ("ends", self._ends),
            ("by", self._by),
            ("certainty", self._certainty),
            ("note", self._note),
        ):
            form.addRow(label(words, "second"), field)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 3 * UNIT, 4 * UNIT, 4 * UNIT)
        column.setSpacing(2 * UNIT)
        column.addWidget(label("This tag", "group"))
        column.addWidget(self._none)
        column.addWidget(self._name)
        column.addWidget(self._fields)
        self._by.activated.connect(self._set_performer)
        self._certainty.activated.connect(self._set_certainty)
        self._note.editingFinished.connect(self._set_note)
        controller.changed.connect(self._refresh)
        controller.chosen_changed.connect(self._refresh)
        self._refresh()

    def _refresh(self) -> None:
        tag = self._controller.chosen
        self._none.setVisible(tag is None)
        self._name.setVisible(tag is not None)
        self._fields.setVisible(tag is not None)
        if tag is not None:
            self._show(tag)

    def _show(self, tag: Tag) -> None:
        several = len(self._controller.all_chosen)
        self._name.setText(f"{several} tags" if several > 1 else name_of(self._controller.case, tag))
        self._starts.setText(clock(tag.start))
        self._ends.setText("running" if tag.end is None else "a moment" if tag.end == tag.start else clock(tag.end))
        self._by.setCurrentText(tag.performer or _NOBODY)
        self._certainty.setCurrentText(tag.certainty)
        if tag.id != self._noted:
            self._take_note_of(tag)
        elif not self._note.hasFocus():
            self._show_note(tag)
        writable = not self._controller.session.read_only
        for field in (self._by, self._certainty, self._note):
            field.setEnabled(writable)
        for one in (self._starts, self._ends, self._note):
            one.setVisible(several < 2)
            self._form.labelForField(one).setVisible(several < 2)

    def _take_note_of(self, tag: Tag) -> None:
        """Show another tag's note; what was being typed belongs to the tag before, and goes there."""
        before, typed = self._noted, self._note.text() if self._note.isModified() else None
        self._noted = tag.id
        self._show_note(tag)
        if typed is not None and before in self._controller.case.by_id:
            self._controller.do(lambda case: edits.describe(case, [before], note=typed))

    def _show_note(self, tag: Tag) -> None:
        self._note.setText(tag.note)
        self._note.setCursorPosition(0)

    def _set_performer(self) -> None:
        chosen = self._by.currentText()
        self._controller.describe_chosen(performer=None if chosen == _NOBODY else Performer(chosen))

    def _set_certainty(self) -> None:
        self._controller.describe_chosen(certainty=Certainty(self._certainty.currentText()))

    def _set_note(self) -> None:
        self._note.setModified(False)
        if len(self._controller.all_chosen) == 1:
            self._controller.describe_chosen(note=self._note.text())
