"""The lines of the running record, made from the case."""

from typing import NamedTuple

from PySide6.QtCore import Qt

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import Ms, span

ROLE = Qt.ItemDataRole.UserRole
STEP_ROLE = ROLE + 1
NOTE_ROLE = ROLE + 2
"""What a line answers with: all of it, its step's name, its note; the last two can be typed anew."""


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
    confirmed: bool


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
        confirmed=tag.confirmed,
    )
