"""The facts of a case in its file: a list of `fact` and `value`. Names and values that no list knows are kept."""

from collections.abc import Sequence
from typing import Any

from annotator.formats.case.fields import Fields
from annotator.formats.case.tags import with_extra
from annotator.formats.faults import LONGEST_NAME, short
from annotator.model.facts import EYE, LONGEST, Fact
from annotator.plain_text import one_line

MOST_FACTS = 1_000

_EXAMPLE = '{"fact": "gauge", "value": "25-gauge"}'


def to_plain(facts: Sequence[Fact]) -> list[dict[str, Any]]:
    """The facts as JSON values, in their order."""
    return [with_extra({"fact": fact.name, "value": fact.value}, fact.extra) for fact in facts]


def from_fields(fields: Fields) -> tuple[Fact, ...]:
    """The facts in the head of a case file, each name once; faults are noted with their place."""
    plain = fields.items("facts")
    if len(plain) > MOST_FACTS:
        fields.fault("facts", f"{len(plain)} facts are more than the {MOST_FACTS} that are read")
        return ()
    found: dict[str, Fact] = {}
    for index, one in enumerate(plain):
        inside = Fields(one, (*fields.path, "facts", index), fields.faults)
        fact = _fact(inside)
        if fact.name == EYE:
            inside.fault("fact", "the eye is a key of the document, “eye”, and no fact here")
        elif found.setdefault(fact.name, fact) is not fact:
            inside.fault("fact", f"“{short(fact.name)}” is said twice; say each fact once")
    return tuple(found.values())


def _fact(inside: Fields) -> Fact:
    name, value = _text(inside, "fact", LONGEST_NAME), _text(inside, "value", LONGEST)
    return Fact(name, value, inside.left())


def _text(inside: Fields, key: str, most: int) -> str:
    is_there = key in inside
    text = inside.text(key, needed=True)
    if is_there and (not text or len(text) > most or one_line(text) != text):
        inside.fault(key, f"this must be 1 to {most} characters on one line, as in {_EXAMPLE}")
    return text
