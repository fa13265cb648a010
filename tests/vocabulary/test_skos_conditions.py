"""The integrity conditions of SKOS on graphs in general.

The graphs and verdicts are those of the SKOS Reference (W3C Recommendation 18 August 2009); data/ has them with the
number of each example.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from annotator.formats.vocabulary.skos import parse
from annotator.formats.vocabulary.skos_conditions import violations

CASES = json.loads((Path(__file__).parent / "data" / "skos_integrity_cases.json").read_text("utf-8"))
PREFIXES = "\n".join(CASES["prefixes"])


def broken(turtle: str) -> list[str]:
    return sorted({violation.condition for violation in violations(parse(f"{PREFIXES}\n{turtle}"))})


@pytest.mark.parametrize("example", CASES["cases"], ids=lambda example: example["name"])
def test_examples_of_the_reference(example: dict[str, Any]) -> None:
    assert broken(example["turtle"]) == example["violates"]


def test_there_are_as_many_examples_as_were_copied() -> None:
    assert len(CASES["cases"]) == 28


@pytest.mark.parametrize(
    ("turtle", "condition"),
    [
        # Follow from the conditions and entailments of the Reference; the graphs are our own.
        ("ex:S skos:hasTopConcept ex:A . ex:A skos:hasTopConcept ex:B .", "S9"),
        ("ex:A skos:topConceptOf ex:A .", "S9"),
        ("ex:A skos:inScheme ex:K . ex:K skos:member ex:B .", "S37"),
        ("ex:A skos:exactMatch ex:K . ex:K a skos:OrderedCollection .", "S37"),
        ("ex:A skos:exactMatch ex:B . ex:B skos:exactMatch ex:C . ex:C skos:relatedMatch ex:A .", "S46"),
        ("ex:A skos:exactMatch ex:B . ex:B skos:narrowMatch ex:A .", "S46"),
        ("ex:A skos:narrowMatch ex:B . ex:B skos:related ex:A .", "S27"),
        ("ex:A skos:broader ex:A ; skos:related ex:A .", "S27"),
        ('ex:A skos:prefLabel "core"@en , "Core"@EN .', "S14"),
        ('ex:A skos:prefLabel "core" , "centre" .', "S14"),
        ('ex:A skos:prefLabel "core"@en ; skos:altLabel "core"@EN .', "S13"),
    ],
)
def test_what_follows_from_them(turtle: str, condition: str) -> None:
    assert broken(turtle) == [condition]


def test_a_violation_names_what_breaks_it() -> None:
    (violation,) = violations(parse(PREFIXES + "ex:A skos:broader ex:B ; skos:related ex:B ."))
    assert violation.says == "<http://example.org/A> is related to <http://example.org/B>, which is above it"
