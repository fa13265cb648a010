"""What to think of before something made from a case leaves, today."""

from datetime import UTC, datetime

from annotator.measure.before_export import consent_cautions, rare_cautions
from annotator.model.case import Case
from annotator.model.facts import KnownFacts
from annotator.store.facts import find_facts


def cautions_of(case: Case, known: KnownFacts) -> tuple[str, ...]:
    """The sentences to show where the facts of a case leave with it, in the order in which they count."""
    return (*consent_cautions(case, known, _this_month()), *rare_cautions(case, known))


def consent_of(case: Case) -> tuple[str, ...]:
    """The sentences to show where copies of a case's recordings leave, and its facts do not.

    Consent is one of the built-in facts, so that a fault in a department's list keeps nobody from publishing.
    """
    return consent_cautions(case, find_facts(own=False), _this_month()) if case.facts else ()


def _this_month() -> str:
    return f"{datetime.now(UTC):%Y-%m}"
