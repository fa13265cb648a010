"""The lines of the tag list, made from the case."""

from collections.abc import Callable
from enum import Enum, auto
from typing import Any, NamedTuple

from PySide6.QtCore import Qt

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.tag_list import place_in_time
from annotator.model.timecode import Ms, clock, span
from annotator.model.vocabulary import Vocabulary
from annotator.plain_text import quoted

ROLE = Qt.ItemDataRole.UserRole
"""What a line answers with all of it to."""


class Part(Enum):
    """The parts of a line that can be typed anew, from left to right."""

    START = auto()
    STEP = auto()
    NOTE = auto()
    BY = auto()
    END = auto()


_NAMES = {Part.START: "Start", Part.STEP: "Step", Part.NOTE: "Note", Part.BY: "Done by", Part.END: "End"}

OF_ONE = (Part.START, Part.END)
"""What can't be the same of several tags."""


class Typing(NamedTuple):
    """What one field is for; it stays that, whatever is selected meanwhile.

    part     of the line
    tag_id   the tag whose line it is
    tag_ids  the tags selected with it, itself among them, which get what is typed; a time goes to the one
    was      what stood there; None where it is to be put in whatever stood there
    text     what the field holds
    """

    part: Part
    tag_id: str
    tag_ids: tuple[str, ...]
    was: str | None
    text: str

    @property
    def field(self) -> str:
        """What the field is called."""
        name, lines = _NAMES[self.part], 1 if self.part in OF_ONE else len(self.tag_ids)
        if self.part is Part.BY:
            return name if lines == 1 else f"{name}, {lines} lines"
        return f"{name} of this line" if lines == 1 else f"{name} of {lines} lines"

    @property
    def is_changed(self) -> bool:
        return self.text != self.was


class RecordRow(NamedTuple):
    """One tag as it is read out."""

    tag_id: str
    start: Ms
    name: str
    length: str
    colour: str | None
    is_moment: bool
    is_running: bool
    indented: bool
    note: str
    by: str
    confirmed: bool
    words: str

    @property
    def called(self) -> str:
        """The name, and where nobody has confirmed it that."""
        return self.name if self.confirmed else f"{self.name} (proposed)"

    @property
    def told(self) -> str:
        """The same where there is room, with the words that a proposal was taken from."""
        is_taken = self.words and not self.confirmed
        return f"{self.name} (proposed for {quoted(self.words)})" if is_taken else self.called

    @property
    def spoken(self) -> str:
        """The line as a screen reader says it."""
        by = f"by {self.by}" if self.by else ""
        return ", ".join(filter(None, (clock(self.start), self.told, self.length, by, self.note)))


def reading_order(vocabulary: Vocabulary) -> Callable[[Tag], tuple[Any, ...]]:
    """A key by which tags stand in order of time, then of the facets; no two tags have the same."""
    order = {facet.name: place for place, facet in enumerate(vocabulary.facets)}
    places = {concept.iri: order[concept.facet] for concept in vocabulary.concepts if concept.facet in order}
    return lambda tag: (tag.start, places.get(tag.concept, len(order)), place_in_time(tag))


def record_row(case: Case, tag: Tag, colour: str | None) -> RecordRow:
    """How one tag is read out; what is in no exclusive facet is indented. `colour` is its phase's."""
    facet = case.facet_of(tag)
    length = "" if tag.end is None else span(tag.end - tag.start)
    moment = tag.end == tag.start
    return RecordRow(
        tag_id=tag.id,
        start=tag.start,
        name=name_of(case, tag),
        length="running" if tag.is_running else "" if moment else length,
        colour=colour,
        is_moment=moment,
        is_running=tag.is_running,
        indented=facet is None or not facet.exclusive,
        note=tag.note,
        by=case.roles.called(tag.performer),
        confirmed=tag.confirmed,
        words=tag.words,
    )
