"""Cases of somebody who learns, small enough to work the numbers out by hand."""

from msgspec.structs import replace

from annotator.measure.over_cases.series import Member
from annotator.model.case import Tag
from annotator.model.timecode import Ms
from tests.measure.cases import case, tag


def member(number: int, *tags: Tag, name: str = "", numbered: bool = True) -> Member:
    """A case of 100 s, told of as its file would be."""
    of = replace(case(*tags), id=f"urn:test:case:{number}")
    return Member(of, name or f"case-{number}", number if numbered else None, "2026-03")


def core(number: int, net: Ms, performer: str | None = None) -> Member:
    """A case with core vitrectomy for `net` ms, after ports of a second."""
    return member(number, tag("ports", 0, 1_000), tag("core", 1_000, 1_000 + net, performer=performer))
