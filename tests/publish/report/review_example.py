"""Reviews of invented cases of somebody who learns."""

from msgspec.structs import replace

from annotator.measure.over_cases.cusum import design
from annotator.measure.over_cases.review import Asked, Review, review
from annotator.measure.over_cases.series import Member, series
from annotator.model.reference import Measured, Reference
from tests.measure.cases import tag, vocabulary
from tests.measure.over_cases.series_cases import member

SECRET = "Jane Invented 1961-02-03"

REFERENCES = (
    Reference("core", "25 gauge", 100, Measured.NET, "first cut", "last cut", "A unit (invented)", mean=30_000),
    Reference("core", "fellows", 25, Measured.ELAPSED, "in", "out", "Another (invented)", median=60_000),
)


def learner(cases: int) -> list[Member]:
    """Cases that get shorter, in the odd ones of which it bleeds; titles, authors and notes tell somebody's name."""
    members = []
    for number in range(1, cases + 1):
        end = round(60_000 * number**-0.2)
        bleeding = replace(tag("bleeding", 2_000, 4_000), note=f"{SECRET}; cause: traction", author=SECRET)
        one = member(
            number,
            tag("ports", 0, 1_000, performer="teacher"),
            tag("core", 1_000, end, performer="trainee"),
            tag("bimanual", 5_000, 9_000),
            tag("removal", end, end + 1_500),
            *([bleeding] if number % 2 else []),
            name=f"{SECRET} {number}",
        )
        members.append(replace(one, case=replace(one.case, title=SECRET)))
    return members


def reviewed(cases: int, of_case: bool = True) -> Review:
    """The last of so many cases beside the others, or all of them."""
    members = learner(cases)
    asked = Asked(["technique"], "bleeding", design(0.10, 0.20))
    return review(series(members, vocabulary()), members[-1] if of_case else None, REFERENCES, asked)
