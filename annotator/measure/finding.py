"""A question about the tags of a case, and the words that every such question is made of."""

import msgspec

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import MINUTE, SECOND, Ms, clock, span


class Finding(msgspec.Struct, frozen=True):
    """A question about a case.

    kind     overlap, gap, order, before, missing, together, performer, place, eye, outside, unknown, unconfirmed,
             running, short or long
    at       ms on the case's clock, where to look
    tag_ids  the tags it is about
    """

    kind: str
    says: str
    at: Ms
    tag_ids: tuple[str, ...] = ()


def named(case: Case, tag: Tag) -> str:
    """A tag in a sentence: its name and its times."""
    return f"{name_of(case, tag)} {times(tag.start, tag.end)}"


def times(start: Ms, end: Ms | None) -> str:
    """A range in a sentence, behind the name of what lasts so long."""
    if end is None:
        return f"({clock(start)} on)"
    return f"at {clock(start)}" if end == start else f"({clock(start)} to {clock(end)})"


def in_words(length: Ms) -> str:
    """A length in a sentence: seconds to the ms below a minute, else minutes and seconds."""
    return f"{length / SECOND:g} s" if length < MINUTE else f"{span(length)} min"
