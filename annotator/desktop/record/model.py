"""The case's tags as lines of the tag list; a line is made when it is first needed."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from itertools import takewhile
from operator import attrgetter
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.times import tags_at
from annotator.desktop.editing.typed_edge import edge_text, put_edge
from annotator.desktop.record.rows import OF_ONE, ROLE, Part, RecordRow, Typing, reading_order, record_row
from annotator.desktop.widgets.controls import plain_tip
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.delta import Delta
from annotator.model.edits import Edited
from annotator.model.timecode import HOUR, Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.model.words.forms import folded
from annotator.publish.report.phase_colours import case_colours
from annotator.store.session import Change

Index = QModelIndex | QPersistentModelIndex

_ROOT = QModelIndex()


class RecordModel(QAbstractListModel):
    """Only lines that came, went or changed are told, so that choice and scroll stay, and 50,000 are no burden."""

    def __init__(self, controller: Controller) -> None:
        super().__init__()
        self._controller = controller
        self._case = controller.case
        self._colours = case_colours(self._case)
        self._place = reading_order(self._case.vocabulary)
        self._words: tuple[str, ...] = ()
        self._tags: list[Tag] = sorted(self._case.tags, key=self._place)
        self.covering: set[str] = set()

    def rowCount(self, parent: Index = _ROOT) -> int:
        return 0 if parent.isValid() else len(self._tags)

    def flags(self, index: Index) -> Qt.ItemFlag:
        writable = index.isValid() and not self._controller.session.read_only
        return super().flags(index) | (Qt.ItemFlag.ItemIsEditable if writable else Qt.ItemFlag.NoItemFlags)

    @property
    def has_hours(self) -> bool:
        """Whether the case lasts so long that its times need their hours."""
        return self._case.duration >= HOUR

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._tags):
            return None
        row = self._line(index.row())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return row.name
        if role == ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(row.told, row.by and f"by {row.by}", *row.note.splitlines())
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
        code = self._case.roles.meant(text).code if text and part is Part.BY else None
        said = {"note": text} if part is Part.NOTE else {"performer": code}
        return self._controller.do(lambda case: edits.describe(case, [one.id for one in tags], **said))

    def text_of(self, index: Index, part: Part) -> str:
        """A part of a line as it may be typed over."""
        tag = self._tags[index.row()]
        row = self._line(index.row())
        texts = {
            Part.START: edge_text(tag, "start"),
            Part.STEP: row.name,
            Part.NOTE: row.note,
            Part.BY: row.by,
            Part.END: edge_text(tag, "end"),
        }
        return texts[part]

    def roles(self) -> list[str]:
        """What who did it may be called, in the order of the case's list."""
        return [role.called() for role in self._case.roles.listed]

    def names_for(self, index: Index) -> list[str]:
        """What the step of a line may be called: every name in its facet."""
        facet = self._controller.case.facet_of(self._tags[index.row()])
        concepts = self._case.vocabulary.in_facet(facet.name) if facet else self._case.vocabulary.concepts
        return list(dict.fromkeys(concept.label() for concept in concepts))

    def is_indented(self, index: Index) -> bool:
        return self._line(index.row()).indented

    def follow(self, at: Ms) -> bool:
        """Mark the tags that cover the shown frame; returns whether they are others than before.

        The view repaints then: lines also change their looks that are no longer, or not yet, covered.
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
        """None for a tag that is not shown."""
        tag = self._case.by_id.get(tag_id or "")
        row = len(self._tags) if tag is None else self._row(tag)
        return row if row < len(self._tags) and self._tags[row].id == tag_id else None

    def narrow(self, words: str) -> None:
        """Show only the tags that have every word in their step, its category, their note or who did it."""
        self._words = tuple(folded(words).split())
        self._exchange(0, len(self._tags), sorted(self._fitting(self._case.tags), key=self._place))

    def _fitting(self, tags: Iterable[Tag]) -> Iterable[Tag]:
        return filter(self._fits, tags) if self._words else tags

    def _fits(self, tag: Tag) -> bool:
        facet = self._case.facet_of(tag)
        category = label_in(facet.label, DEFAULT_LANGUAGE) if facet else ""
        who = self._case.roles.called(tag.performer)
        said = folded(" ".join((edits.name_of(self._case, tag), category, who, tag.note)))
        return all(word in said for word in self._words)

    def refresh(self, change: Change) -> None:
        """Take a change in: between the first and the last line that it concerns, those that differ go and come."""
        if change.after.vocabulary is not self._case.vocabulary:
            self._place = reading_order(change.after.vocabulary)
            first, old, new = 0, self._tags[:], sorted(self._fitting(change.after.tags), key=self._place)
        else:
            first, old, new = self._concerned(change.delta)
        self._case = change.after
        above = _same(old, new)
        below = min(_same(old[::-1], new[::-1]), len(old) - above, len(new) - above)
        self._exchange(first + above, len(old) - above - below, new[above : len(new) - below])
        self._tags[first : first + len(new)] = new
        for row in (*range(above), *range(len(new) - below, len(new))):
            if new[row] is not old[row if row < above else row - len(new)]:
                self.dataChanged.emit(self.index(first + row), self.index(first + row))
        self._take_colours()

    def _take_colours(self) -> None:
        """Those of the case as it is now; some tags have that of the phase in which they lie."""
        before, self._colours = self._colours, case_colours(self._case)
        for row in map(self.row_of, self._colours.others_than(before)):
            if row is not None:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _concerned(self, delta: Delta) -> tuple[int, list[Tag], list[Tag]]:
        """From which line on a change concerns the lines, and the tags of these before and after it."""
        ids = delta.ids
        rows = [self._row(self._case.by_id[tag_id]) for tag_id in ids if tag_id in self._case.by_id]
        edges = [*rows, *(row + 1 for row in rows), *map(self._row, delta.put)]
        first, last = min(edges, default=0), max(edges, default=0)
        old = self._tags[first:last]
        return (
            first,
            old,
            sorted([*(tag for tag in old if tag.id not in ids), *self._fitting(delta.put)], key=self._place),
        )

    def _exchange(self, first: int, gone: int, come: Sequence[Tag]) -> None:
        if gone:
            self.beginRemoveRows(_ROOT, first, first + gone - 1)
            del self._tags[first : first + gone]
            self.endRemoveRows()
        if come:
            self.beginInsertRows(_ROOT, first, first + len(come) - 1)
            self._tags[first:first] = come
            self.endInsertRows()

    def _row(self, tag: Tag) -> int:
        """Where a tag stands, or where it would."""
        return bisect_left(self._tags, self._place(tag), key=self._place)

    def _line(self, number: int) -> RecordRow:
        tag = self._tags[number]
        colour = self._colours.of(tag.concept, tag.id)
        return record_row(self._case, tag, colour.fill if colour else None)


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
