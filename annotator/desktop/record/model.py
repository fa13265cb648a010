"""The case's tags as lines of the tag list; a line is made when it is looked at."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import takewhile
from operator import attrgetter
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.times import tags_at
from annotator.desktop.editing.typed_edge import edge_text, put_edge
from annotator.desktop.record.rows import OF_ONE, ROLE, Part, RecordRow, Typing, read_out, record_row
from annotator.desktop.widgets.controls import plain_tip
from annotator.model import edits
from annotator.model.case import Case, Performer, Tag
from annotator.model.edits import Edited
from annotator.model.timecode import Ms
from annotator.publish.report.phase_colours import phase_fills

Index = QModelIndex | QPersistentModelIndex


class RecordModel(QAbstractListModel):
    """Only lines that came, went or changed are told, so that choice and scroll stay, and 10,000 are no burden."""

    def __init__(self, controller: Controller, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._tags: list[Tag] = read_out(controller.case)
        self._row_by_id = self._numbered()
        self._vocabulary = controller.case.vocabulary
        self._colours = phase_fills(self._vocabulary)
        self.covering: set[str] = set()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own form
        return 0 if parent.isValid() else len(self._tags)

    def flags(self, index: Index) -> Qt.ItemFlag:
        writable = index.isValid() and not self._controller.session.read_only
        return super().flags(index) | (Qt.ItemFlag.ItemIsEditable if writable else Qt.ItemFlag.NoItemFlags)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._tags):
            return None
        row = self._row(index.row())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return row.name
        if role == ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(row.name, row.by and f"by {row.by}", *row.note.splitlines())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.spoken
        return None

    def put(self, typing: Typing) -> bool:
        """Put what was typed through the gate, into those of its tags that are still there.

        Returns whether nothing is left to be mended; what stood in the way has been said.
        """
        part, text, by_id = typing.part, typing.text.strip(), self._controller.case.by_id
        if part in OF_ONE:
            return put_edge(self._controller, typing.tag_id, "start" if part is Part.START else "end", text)
        tags = [by_id[one] for one in dict.fromkeys((typing.tag_id, *typing.tag_ids)) if one in by_id]
        if not tags:
            return True
        if part is Part.STEP:
            return self._controller.do(lambda case: _retagged(case, tags, text))
        said = {"note": text} if part is Part.NOTE else {"performer": Performer(text) if text else None}
        return self._controller.do(lambda case: edits.describe(case, [one.id for one in tags], **said))

    def text_of(self, index: Index, part: Part) -> str:
        """A part of a line as it may be typed over."""
        tag = self._tags[index.row()]
        row = self._row(index.row())
        texts = {
            Part.START: edge_text(tag, "start"),
            Part.STEP: row.name,
            Part.NOTE: row.note,
            Part.BY: row.by,
            Part.END: edge_text(tag, "end"),
        }
        return texts[part]

    def names_for(self, index: Index) -> list[str]:
        """What the step of a line may be called: every name in its facet."""
        facet = self._controller.case.facet_of(self._tags[index.row()])
        concepts = self._vocabulary.in_facet(facet.name) if facet else self._vocabulary.concepts
        return list(dict.fromkeys(concept.label() for concept in concepts))

    def is_indented(self, index: Index) -> bool:
        return self._row(index.row()).indented

    def follow(self, at: Ms) -> bool:
        """Mark the tags that cover the shown frame; returns whether they are others than before.

        The view repaints then. To tell it of changed lines would make Qt lay out every line anew, at each frame.
        """
        covering = {tag.id for tag in tags_at(self._controller.case, at)}
        if covering == self.covering:
            return False
        self.covering = covering
        return True

    def last_begun(self, at: Ms) -> int:
        """The row of the tag that began last at `at`, or -1."""
        return bisect_right(self._tags, at, key=attrgetter("start")) - 1

    def tag_at(self, row: int) -> Tag:
        return self._tags[row]

    def row_of(self, tag_id: str | None) -> int | None:
        return self._row_by_id.get(tag_id or "")

    def refresh(self) -> None:
        """Take the case as it is now: lines between the first and the last that differ go and come."""
        old, new = self._tags, read_out(self._controller.case)
        if self._controller.case.vocabulary is not self._vocabulary:
            self._vocabulary = self._controller.case.vocabulary
            self._colours = phase_fills(self._vocabulary)
        first = _same(old, new)
        last = min(_same(old[::-1], new[::-1]), len(old) - first, len(new) - first)
        if first < len(old) - last:
            self.beginRemoveRows(QModelIndex(), first, len(old) - last - 1)
            self._tags = old[:first] + old[len(old) - last :]
            self.endRemoveRows()
        if first < len(new) - last:
            self.beginInsertRows(QModelIndex(), first, len(new) - last - 1)
            self._tags = new
            self.endInsertRows()
        self._tags, was = new, self._tags
        self._row_by_id = self._numbered()
        for row, (before, now) in enumerate(zip(was, new, strict=True)):
            if before is not now:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _row(self, number: int) -> RecordRow:
        tag = self._tags[number]
        return record_row(self._controller.case, tag, self._colours.get(tag.concept))

    def _numbered(self) -> dict[str, int]:
        return {tag.id: row for row, tag in enumerate(self._tags)}


def _same(one: list[Tag], other: list[Tag]) -> int:
    """How many lines are of the same tags from the start on."""
    pairs = zip(one, other, strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] is pair[1] or pair[0].id == pair[1].id, pairs))


def _retagged(case: Case, tags: Sequence[Tag], name: str) -> Edited:
    """Tags with another concept, each one of its own facet."""
    facet = case.facet_of(tags[0])
    concept = case.vocabulary.match(name, facet.name if facet else None)
    changed = Edited(case, "")
    for tag in tags:
        changed = edits.retag(changed.case, tag.id, concept.iri)
    return changed if len(tags) == 1 else Edited(changed.case, f"{len(tags)} tags become {concept.label()}")
