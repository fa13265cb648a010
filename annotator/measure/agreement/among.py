"""Three or more people's tags of one recording."""

from collections.abc import Sequence

import msgspec

from annotator.measure.agreement.account import account, clipped, common_time, in_one_vocabulary
from annotator.measure.agreement.chance import Share, alpha, fleiss_kappa, table_of, units
from annotator.measure.agreement.spans import pieces
from annotator.model.case import Case
from annotator.model.interval import Interval


class Among(msgspec.Struct, frozen=True):
    """How far all agree; both figures are None where the category may overlap freely."""

    within: Interval
    alpha: Share
    fleiss_kappa: Share


def among(cases: Sequence[Case], facet: str = "step") -> Among:
    """Compare cases of one recording with one clock, all read in one vocabulary. Raises as `compare` does."""
    cases, _ = in_one_vocabulary(cases)
    accounts = [account(case, facet) for case in cases]
    within = common_time(accounts)
    if not cases[0].vocabulary.facet(facet).exclusive:
        return Among(within, None, None)
    answers = units(table_of(pieces([clipped(one.marked, within).spans for one in accounts], within)))
    return Among(within, alpha(answers), fleiss_kappa(answers))
