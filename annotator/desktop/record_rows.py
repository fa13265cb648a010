"""The lines of the running record, made from the case."""

from enum import IntEnum
from typing import NamedTuple

from PySide6.QtCore import Qt

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import Ms, clock, span

ROLE = Qt.ItemDataRole.UserRole
"""What a line answers with all of it to."""


class Part(IntEnum):
    """The parts of a line that can be typed anew, as the roles under which it answers with each, from left to right."""

    START = ROLE + 1
    STEP = ROLE + 2
    NOTE = ROLE + 3
    BY = ROLE + 4
    END = ROLE + 5


NAMES = {
    Part.START: "Start of this line",
    Part.STEP: "Step of this line",
    Part.NOTE: "Note of this line",
    Part.BY: "Done by",
    Part.END: "End of this line",
}


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

    @property
    def spoken(self) -> str:
        """The line as a screen reader says it."""
        by = f"by {self.by}" if self.by else ""
        proposed = "" if self.confirmed else "proposed"
        return ", ".join(filter(None, (clock(self.start), self.name, self.length, proposed, by, self.note)))


def read_out(case: Case) -> list[Tag]:
    """The tags in order of time, then of the facets."""
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}
    places = {concept.iri: order[concept.facet] for concept in case.vocabulary.concepts if concept.facet in order}
    return sorted(case.tags, key=lambda tag: (tag.start, places.get(tag.concept, len(order))))


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
        by=tag.performer or "",
        confirmed=tag.confirmed,
    )
