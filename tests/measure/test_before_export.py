"""What is to be thought of before something made from a case leaves."""

import pytest
from msgspec.structs import replace

from annotator.measure.before_export import consent_cautions, rare_cautions
from annotator.model.facts import Fact, KnownFacts
from annotator.store.facts import find_facts
from tests.formats.example_case import CASE

KNOWN = find_facts()


def asked(*said: str, known: KnownFacts = KNOWN, month: str = "2026-11", eye: bool = False) -> tuple[str, ...]:
    facts = tuple(Fact(name, value) for name, value in (one.split("=") for one in said))
    case = replace(CASE, facts=facts, eye=CASE.eye if eye else None)
    return (*consent_cautions(case, known, month), *rare_cautions(case, known))


@pytest.mark.parametrize(
    ("said", "says"),
    [
        (["consent=consent-withdrawn", "consent-scope=publication"], "is withdrawn: pass nothing on, and take back"),
        (["consent=consent-not-given"], "is not given: pass nothing on"),
        (["consent=consent-given", "consent-until=2026-10"], "ended with 2026-10"),
        (["consent=consent-given", "consent-until=2025"], "ended with 2025"),
        (["consent=consent-given", "consent-scope=own-department"], "is for: own department. Pass nothing on beyond"),
    ],
)
def test_what_the_consent_says_is_told(said: list[str], says: str) -> None:
    (only,) = asked(*said)
    assert says in only


@pytest.mark.parametrize(
    "said",
    [
        [],
        ["consent=consent-given"],
        ["consent=consent-given", "consent-scope=publication", "consent-until=2026-11"],
        ["consent=consent-given", "consent-until=2026"],
        ["finding=macular-hole", "month=2026-11"],
    ],
)
def test_there_is_nothing_to_say(said: list[str]) -> None:
    assert asked(*said) == ()


def test_one_finding_with_month_and_eye_is_rare() -> None:
    (only,) = asked("finding=macular-hole", "month=2026-11", eye=True)
    assert only.startswith("Finding, Month and Eye together may tell whose operation it was")


def test_what_is_rare_is_data() -> None:
    alone = KnownFacts((), (("gauge",), (), ("gauge", "ward")))
    assert asked("gauge=25-gauge", known=alone) == (
        "gauge may tell whose operation it was; leave it out before the facts leave",
    )
