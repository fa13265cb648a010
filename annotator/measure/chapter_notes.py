"""What is said about chapters: one calm sentence for each tag that is not written as it stands."""

from collections.abc import Iterable, Sequence

import msgspec

from annotator.measure import tag_notes
from annotator.measure.chapter_tree import Node, full_title
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import Concept


class Remark(msgspec.Struct, frozen=True):
    """A sentence about chapters.

    kind: `overlap`, `moment`, `outside` (left out), `split`, `folded`, `running`, `beyond`, `unknown`,
    `proposed`, `filled` or `none`
    """

    kind: str
    says: str
    at: Ms = 0
    tag_ids: tuple[str, ...] = ()


class Remarks:
    """Collects remarks while chapters are planned."""

    def __init__(self, case: Case, language: str) -> None:
        self._case = case
        self._language = language
        self._found: list[Remark] = []

    def in_order(self) -> tuple[Remark, ...]:
        return tuple(sorted(self._found, key=lambda remark: remark.at))

    def about_tag(self, tag: Tag, concept: Concept | None) -> None:
        """What a tag alone gives rise to: unknown, running, a moment, outside the recording."""
        name = concept.label(self._language) if concept else tag.concept
        end = self._case.range_of(tag).end
        if concept is None:
            self._add("unknown", tag, f"{name} at {clock(tag.start)} is not in the vocabulary; its title is the term.")
        if tag.end == tag.start:
            self._add("moment", tag, f"{name} at {clock(tag.start)} is a moment without length; it is left out.")
        elif tag.start >= self._case.duration or end <= 0:
            self._add("outside", tag, tag_notes.outside(self._case, tag, name))
        elif tag.end is None:
            self._add("running", tag, tag_notes.running(self._case, tag, name))
        elif end > self._case.duration or tag.start < 0:
            self._add("beyond", tag, tag_notes.beyond(self._case, tag, name))
        if not tag.confirmed:
            self._add("proposed", tag, f"{name} at {clock(tag.start)} is written, though it is not confirmed yet.")

    def overlaps(self, clashes: Iterable[tuple[Node, Node]]) -> None:
        """Pairs of which the first can't be written beside the second."""
        for node, other in clashes:
            inside = other.range.contains(node.range)
            says = (
                f"{_name(node)} is left out, because it {'lies inside' if inside else 'overlaps'} {_name(other)}"
                f"{'' if inside else ', which starts earlier'}."
            )
            ids = tuple(filter(None, (node.tag_id, other.tag_id)))
            self._found.append(Remark("overlap", says, node.start, ids))

    def splits(self, parts: Iterable[tuple[Node, Sequence[Node]]], above: Sequence[Node]) -> None:
        """Nodes with the pieces they were cut into, at the borders of those above."""
        for node, pieces in parts:
            cuts = " and ".join(_border(piece.start, above) for piece in pieces[1:])
            says = f"{_name(node)} is split in {len(pieces)}: {cuts}."
            self._found.append(Remark("split", says, node.start, (node.tag_id,)))

    def folded(self, node: Node, same: Sequence[Node]) -> None:
        """Nodes that became one with the node around them."""
        if same:
            says = f"“{full_title(node)}” at {clock(node.start)} is one chapter, because its parts have the same range."
            ids = tuple(filter(None, (one.tag_id for one in (node, *same))))
            self._found.append(Remark("folded", says, node.start, ids))

    def filled(self, closed: Sequence[Interval]) -> None:
        """Which gaps between chapters were closed."""
        for gap in closed:
            says = f"The gap from {clock(gap.start)} to {clock(gap.end)} is closed by the chapter before it."
            self._found.append(Remark("filled", says, gap.start))

    def about_all(self, any_chapter: bool, names: Sequence[str]) -> None:
        """That there is nothing to write."""
        if not any_chapter:
            says = f"There are no chapters, as no {' or '.join(names)} is tagged from a start to an end."
            self._found.append(Remark("none", says))

    def _add(self, kind: str, tag: Tag, says: str) -> None:
        self._found.append(Remark(kind, says, tag.start, (tag.id,)))


def _name(node: Node) -> str:
    return f"{node.title} ({_times(node.start, node.end)})"


def _times(start: Ms, end: Ms) -> str:
    return f"{clock(start)} to {clock(end)}"


def _border(at: Ms, above: Sequence[Node]) -> str:
    """The end of the innermost node above that ends there, else the start of one that starts there."""
    ending = next((node for node in reversed(above) if node.end == at), None)
    starting = next((node for node in reversed(above) if node.start == at), None)
    if ending is not None:
        return f"{ending.title} ends at {clock(at)}"
    return f"{starting.title if starting else ''} starts at {clock(at)}"
