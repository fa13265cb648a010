"""What to think of before something made from a case leaves: its consent, and facts that may tell whose it was.

Nothing is refused because of it, as no program knows what was agreed. docs/privacy.md lists all that is asked.
"""

from annotator.model.case import Case
from annotator.model.facts import CONSENT_FACTS, CONSENT_WITHDRAWN, KnownFacts

CONSENT, SCOPE, UNTIL = CONSENT_FACTS
_GIVEN, NOT_GIVEN, WITHDRAWN = "consent-given", "consent-not-given", CONSENT_WITHDRAWN
_WIDEST = "publication"


def consent_cautions(case: Case, known: KnownFacts, month: str) -> tuple[str, ...]:
    """What the facts say of the consent that stands against passing on what is made of the case.

    Sentences to show before an export in a `month` such as `2026-11`; empty where nothing is to be said.
    """
    said, scope, until = case.fact(CONSENT), case.fact(SCOPE), case.fact(UNTIL)
    if said == WITHDRAWN:
        return ("The consent to this case is withdrawn: pass nothing on, and take back the copies that are out",)
    if said == NOT_GIVEN:
        return ("Consent to this case is not given: pass nothing on",)
    found: list[str] = []
    if said == _GIVEN and until and until < month[: len(until)]:
        found.append(f"The consent to this case ended with {until}: ask again before you pass anything on")
    if said == _GIVEN and scope and scope != _WIDEST:
        words = known.by_code[SCOPE].told(scope) if SCOPE in known.by_code else scope
        found.append(f"The consent to this case is for: {words}. Pass nothing on beyond that")
    return tuple(found)


def rare_cautions(case: Case, known: KnownFacts) -> tuple[str, ...]:
    """Facts that, all said of one case, may tell whose operation it was: a finding together with month and eye."""
    said = {fact.name for fact in case.all_facts}
    listed = [[known.called(name) for name in names] for names in known.together if names and said.issuperset(names)]
    return tuple(map(_rare, listed))


def _rare(names: list[str]) -> str:
    *others, last = names
    if not others:
        return f"{last} may tell whose operation it was; leave it out before the facts leave"
    together = f"{', '.join(others)} and {last} together may tell whose operation it was"
    return f"{together}; leave one out before the facts leave"
