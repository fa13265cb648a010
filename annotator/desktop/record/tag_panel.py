"""The form of the selected tag: its times, step, performer, certainty and note."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller, Edge
from annotator.desktop.editing.typed_edge import edge_text, put_edge
from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import FIELD_LABEL, UNIT
from annotator.desktop.widgets.controls import choices, dense, label, plain_tip
from annotator.desktop.widgets.form_line import FormLine
from annotator.desktop.widgets.form_text import FormText
from annotator.desktop.widgets.labels import ElidedLabel
from annotator.model import edits
from annotator.model.case import Certainty, Tag
from annotator.model.edits import name_of
from annotator.model.roles import NOBODY, Roles
from annotator.plain_text import quoted

_DIFFER = "differ"


class TagPanel(QWidget):
    """Shows the selected tag; a field that is left or selected is put through the gate at once.

    Of several selected tags it shows what they have in common, and changes all of them.
    """

    def __init__(self, controller: Controller, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._controller = controller
        self._name = ElidedLabel("title")
        self._words = label("", "second")
        self._words.setWordWrap(True)
        self._none = label("Select a tag to see it here.", "second")
        self._none.setWordWrap(True)
        self._none.setContentsMargins(0, UNIT, 0, UNIT)
        self.starts = self._time_field("Start", "start")
        self.ends = self._time_field("End", "end")
        self._by = dense(choices("Done by", [NOBODY]))
        self._by.currentTextChanged.connect(lambda words: self._by.setToolTip(plain_tip(words)))
        self._roles = Roles(())
        self._certainty = dense(choices("Certainty", list(Certainty)))
        self._certainty.setToolTip("How sure you are")
        self._note = FormText("Note", self._put_note)
        self._note.setPlaceholderText("A note…")
        for line in (self.starts, self.ends):
            line.setProperty("dense", True)
        self._fields = QWidget()
        self._of_one = self._lay_out()
        self._by.activated.connect(self._set_performer)
        self._certainty.activated.connect(self._set_certainty)
        controller.changed.connect(self._refresh)
        controller.selection_changed.connect(self._refresh)
        self._refresh()

    def _time_field(self, name: str, edge: Edge) -> FormLine:
        def put(tag_id: str, text: str) -> bool:
            return put_edge(self._controller, tag_id, edge, text)

        made = FormLine(name, put)
        made.setFont(typeface.figures())
        made.setToolTip("H:MM:SS.mmm, MM:SS or seconds; moves to the nearest frame")
        return made

    def _lay_out(self) -> list[QWidget]:
        """Put everything in its place; returns what can be said of one tag only."""
        names = ("Start", "End", "By", "Certainty", "Note")
        starts, ends, by, certainty, note = (label(words, "second") for words in names)
        by.setBuddy(self._by)
        certainty.setBuddy(self._certainty)
        grid = QGridLayout(self._fields)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2 * UNIT)
        grid.setVerticalSpacing(UNIT)
        grid.setColumnMinimumWidth(0, FIELD_LABEL)
        times, said = _row(self.starts, ends, self.ends), _row(self._by, certainty, self._certainty)
        for row, (words, fields) in enumerate(((starts, times), (by, said), (note, _row(self._note)))):
            grid.addWidget(words, row, 0)
            grid.addLayout(fields, row, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, UNIT, 4 * UNIT, UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self._name)
        column.addWidget(self._words)
        column.addWidget(self._none)
        column.addWidget(self._fields)
        return [starts, self.starts, ends, self.ends, note, self._note]

    def focus_start(self) -> None:
        """Let the start be typed anew."""
        self.starts.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.starts.selectAll()

    def _refresh(self) -> None:
        tag = self._controller.selected
        self._none.setVisible(tag is None)
        self._name.setVisible(tag is not None)
        self._fields.setVisible(tag is not None)
        self._words.setVisible(tag is not None and bool(tag.words) and len(self._controller.all_selected) == 1)
        if tag is not None:
            self._show(tag)

    def _show(self, tag: Tag) -> None:
        several = self._controller.all_selected
        is_one = len(several) == 1
        self._name.setText(name_of(self._controller.case, tag) if is_one else f"{len(several)} tags together")
        self._words.setText(f"Written as {quoted(tag.words)}")
        self.starts.show_of(tag.id, edge_text(tag, "start"))
        self.ends.show_of(tag.id, edge_text(tag, "end"))
        self._note.show_of(tag.id, tag.note)
        self._offer(self._controller.case.roles)
        _show_common(self._by, {self._roles.called(one.performer) or NOBODY for one in several})
        _show_common(self._certainty, {one.certainty for one in several})
        writable = not self._controller.session.read_only
        for box in (self._by, self._certainty):
            box.setEnabled(writable)
        for line in self.findChildren(QLineEdit):
            line.setReadOnly(not writable)
        self._note.setReadOnly(not writable)
        for widget in self._of_one:
            widget.setVisible(is_one)

    def _offer(self, roles: Roles) -> None:
        """The case's roles, in its order."""
        if roles is not self._roles:
            self._roles = roles
            self._by.clear()
            self._by.addItems([NOBODY, *(role.called() for role in roles.listed)])

    def _set_performer(self) -> None:
        selected = self._by.currentText()
        self._controller.describe_selected(performer=None if selected == NOBODY else self._roles.meant(selected).code)

    def _set_certainty(self) -> None:
        self._controller.describe_selected(certainty=Certainty(self._certainty.currentText()))

    def _put_note(self, tag_id: str, text: str) -> bool:
        tag = self._controller.case.by_id.get(tag_id)
        if tag is None or tag.note == text:
            return True
        return self._controller.do(partial(edits.describe, tag_ids=[tag_id], note=text))


def _show_common(box: QComboBox, values: set[str]) -> None:
    """The one value that all have, or that they differ."""
    box.setPlaceholderText(_DIFFER)
    if len(values) == 1:
        box.setCurrentText(values.pop())
    else:
        box.setCurrentIndex(-1)


def _row(*widgets: QWidget) -> QHBoxLayout:
    """Side by side; the fields share what their names leave."""
    row = QHBoxLayout()
    row.setSpacing(2 * UNIT)
    for widget in widgets:
        row.addWidget(widget, 0 if isinstance(widget, QLabel) else 1)
    return row
