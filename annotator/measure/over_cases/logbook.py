"""The rows of a logbook: the own share of the critical steps of each case. Definitions: docs/measures.md.

It says whose time it was, and not who operated: the supervisor decides.
"""

from collections.abc import Sequence
from typing import NamedTuple

from annotator.errors import AmbiguousName, UnknownName
from annotator.measure.durations import altered_of, summarise
from annotator.measure.over_cases.series import Member
from annotator.measure.over_cases.step_times import STEP
from annotator.measure.within import PERFORMER
from annotator.model.case import Case
from annotator.model.facts import KnownFacts
from annotator.model.logbook import DECIDES, NAME, NOT_SAID, OWN_SHARE, ROLE, LogbookMap


class Critical(NamedTuple):
    """The critical steps of a case.

    own       share of their time that own roles have, of that for which somebody said who; None where nobody did
    not_said  share of their time for which nobody said who; None where there is no such time
    roles     codes of those who did any of it, the longest first
    why_not   why there are no shares, or empty
    """

    own: float | None
    not_said: float | None
    roles: tuple[str, ...]
    why_not: str = ""


def critical(case: Case, asked: LogbookMap) -> Critical:
    """What was done of the critical steps, by whom. Steps that the vocabulary lacks are a reason not to say."""
    if altered := altered_of(case):
        return Critical(None, None, (), f"the recording is {' and '.join(altered)}")
    try:
        steps = {case.vocabulary.match(words, STEP).notation for words in asked.critical}
    except (UnknownName, AmbiguousName) as error:
        return Critical(None, None, (), str(error).splitlines()[0])
    found = summarise(case, STEP, of=steps, within=PERFORMER).within
    rows = [row for row in found.rows if row.notation == "" or len(found.rows) == 1] if found else []
    if not rows or not rows[0].total:
        return Critical(None, None, (), "no critical step was tagged")
    row = rows[0]
    said = row.total - row.rest
    times = {part.notation: part.total for part in row.parts}
    own = sum(times.get(role, 0) for role in {_code(case, words) for words in asked.own})
    return Critical(
        min(own / said, 1.0) if said else None,
        row.rest / row.total,
        tuple(sorted(times, key=lambda role: -times[role])),
        "" if said else "nobody said who did the critical steps",
    )


def rows(members: Sequence[Member], asked: LogbookMap, facts: KnownFacts) -> list[list[str]]:
    """A head and a row for each case; the last cell says who decides, and why a share is missing."""
    head = [*(column.name for column in asked.columns), "note"]
    return [head, *(_row(one, asked, facts) for one in members)]


def _row(one: Member, asked: LogbookMap, facts: KnownFacts) -> list[str]:
    found = critical(one.case, asked)
    told = {fact.name: facts.told(fact) for fact in one.case.all_facts}
    called = {_code(one.case, words): name for words, name in asked.roles.items()}
    made = {
        NAME: one.name,
        ROLE: "; ".join(called.get(role, role) for role in found.roles),
        OWN_SHARE: _number(found.own),
        NOT_SAID: _number(found.not_said),
    }
    cells = [(told | made).get(column.of, "") for column in asked.columns]
    return [*cells, f"{DECIDES}; {found.why_not}" if found.why_not else DECIDES]


def _code(case: Case, words: str) -> str:
    """The role that a map means; one that this case does not know did nothing in it."""
    try:
        return case.roles.meant(words).code
    except UnknownName:
        return words


def _number(share: float | None) -> str:
    return "" if share is None else f"{share:.3f}"
