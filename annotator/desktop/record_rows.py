"""The lines of the running record, made from the case."""

from typing import NamedTuple

from annotator.desktop.phases import phase_colours
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import Ms, span


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


def record_rows(case: Case) -> list[RecordRow]:
    """The tags in order of time, then of the facets; what is in no exclusive facet is indented."""
    colours = phase_colours(case.vocabulary)
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}

    def place(tag: Tag) -> tuple[Ms, int]:
        facet = case.facet_of(tag)
        return tag.start, order[facet.name] if facet else len(order)

    return [_row(case, tag, colours.get(tag.concept)) for tag in sorted(case.tags, key=place)]


def _row(case: Case, tag: Tag, colour: str | None) -> RecordRow:
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
