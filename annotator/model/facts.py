"""Facts of a case: what it was, never who. Which may be said is a closed list of data, which a department extends.

A case keeps the name of a fact and what is said of it; one that a list does not know is kept, and told as it stands.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import Any

import msgspec

from annotator.errors import InvalidEdit
from annotator.model.derived import derived_from
from annotator.model.identity import looks_like_identity
from annotator.model.named import Named, unknown
from annotator.model.vocabulary import DEFAULT_LANGUAGE
from annotator.model.words.forms import folded
from annotator.plain_text import one_line, quoted

EYE = "eye"
"""Kept with the case itself, for the places of tags depend on it; told and said like any other fact."""

CONSENT_FACTS = ("consent", "consent-scope", "consent-until")
"""Which facts say what was agreed to: whether it is, for what, until when. They go along with whatever is made."""

CONSENT_WITHDRAWN = "consent-withdrawn"
"""What the first of them says then."""

LONGEST = 200
"""Characters of what is said in words."""

_MONTH = re.compile(r"([12]\d{3})(?:-(0[1-9]|1[0-2]))?", re.ASCII)
_DAY = re.compile(r"\d{1,4}[-./]\d{1,2}[-./]\d{1,4}", re.ASCII)
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,6})?", re.ASCII)


class Fact(msgspec.Struct, frozen=True):
    """What is said of a case under one name: the code of a value, a number, a month (`2026-11`), a year, or words."""

    name: str
    value: str
    extra: Mapping[str, Any] = {}


class FactKind(StrEnum):
    """What may be said of a fact: one of its values, a number, a month or a year, or words."""

    CHOICE = "choice"
    NUMBER = "number"
    MONTH = "month"
    TEXT = "text"


class FactValue(Named, frozen=True):
    """One of the values of a choice. `anchor` says by language what it means, so that two people say the same."""

    anchor: Mapping[str, str] = {}


class KnownFact(Named, frozen=True, dict=True):
    """A fact that may be said.

    code       its name in cases and tables
    kind       what may be said
    values     of a choice
    least, most, decimals  of a number, both included, and how many decimals it may have
    unit       of a number, as it is printed
    needs      names of facts without which this one says little
    """

    kind: FactKind = FactKind.TEXT
    definition: Mapping[str, str] = {}
    values: tuple[FactValue, ...] = ()
    least: int = 0
    most: int = 999_999_999
    decimals: int = 0
    unit: str = ""
    needs: tuple[str, ...] = ()

    @derived_from("values")
    def by_code(self) -> Mapping[str, FactValue]:
        """The values of a choice."""
        return {value.code: value for value in self.values}

    def meant(self, words: str, *, names_nobody: bool = False) -> str:
        """What typed words say of this fact, in the form that a case keeps.

        Words that look as if they tell who somebody is are taken only where the caller knows that they name nobody.
        Raises UnknownName for what is none of its values, InvalidEdit for what is no number, month or words for it.
        """
        text = one_line(words)
        if not text:
            raise InvalidEdit(f"{self.called()}: nothing is said; clear the fact instead")
        match self.kind:
            case FactKind.CHOICE:
                return self._value(text).code
            case FactKind.NUMBER:
                return self._number(text)
            case FactKind.MONTH:
                return self._month(text)
            case FactKind.TEXT:
                return self._words(text, names_nobody)

    def _value(self, words: str) -> FactValue:
        by_name = {folded(name): value for value in self.values for name in value.names()}
        value = by_name.get(folded(words))
        if value is None:
            raise unknown(f"value of {self.code}", words, self.values)
        return value

    def _number(self, text: str) -> str:
        number = Decimal(text) if _NUMBER.fullmatch(text) else None
        places = len(text.partition(".")[2].rstrip("0"))
        if number is None or not self.least <= number <= self.most or places > self.decimals:
            kind = f"number with up to {self.decimals} decimals, such as 0.5," if self.decimals else "whole number"
            raise InvalidEdit(f"{self.called()}: {quoted(text)} is not a {kind} from {self.least} to {self.most}")
        return f"{number:f}".rstrip("0").rstrip(".") if places else f"{int(number)}"

    def _month(self, text: str) -> str:
        if not _MONTH.fullmatch(text):
            why = "; a day may tell whose operation it was" if _DAY.fullmatch(text) else ""
            raise InvalidEdit(f"{self.called()}: {quoted(text)} is not a month{why}; write 2026-11, or the year alone")
        return text

    def _words(self, text: str, names_nobody: bool) -> str:
        if len(text) > LONGEST:
            raise InvalidEdit(f"{self.called()}: {len(text)} characters are more than the {LONGEST} that are kept")
        why = "" if names_nobody else looks_like_identity(text)
        if why:
            raise InvalidEdit(f"{self.called()}: {quoted(text)} {why}; a case must not tell who somebody is")
        return text

    def asks(self) -> str:
        """What may be said, in short."""
        match self.kind:
            case FactKind.CHOICE:
                return f"one of {len(self.values)}"
            case FactKind.NUMBER:
                return f"{self.least} to {self.most} {self.unit}".rstrip()
            case FactKind.MONTH:
                return "a month, such as 2026-11, or a year"
            case FactKind.TEXT:
                return "words"

    def told(self, value: str, language: str = DEFAULT_LANGUAGE) -> str:
        """What a case says of this fact, as people read it."""
        known = self.by_code.get(value)
        if known is not None:
            return known.called(language)
        return f"{value} {self.unit}" if self.unit else value


class KnownFacts(msgspec.Struct, frozen=True, dict=True):
    """The facts that may be said, in the order in which they are told.

    `together` lists names of facts that, all said of one case, may tell whose operation it was.
    """

    listed: tuple[KnownFact, ...]
    together: tuple[tuple[str, ...], ...] = ()

    @derived_from("listed")
    def by_code(self) -> Mapping[str, KnownFact]:
        return {fact.code: fact for fact in self.listed}

    @derived_from("listed")
    def _by_name(self) -> Mapping[str, KnownFact]:
        return {folded(name): fact for fact in self.listed for name in fact.names()}

    def named(self, words: str) -> KnownFact:
        """The fact that typed words name; letter case, hyphens and blanks aside. Raises UnknownName with the list."""
        fact = self._by_name.get(folded(words))
        if fact is None:
            raise unknown("fact", words, self.listed)
        return fact

    def meant(self, name: str, words: str, *, names_nobody: bool = False) -> Fact:
        """The fact that a typed name and typed words say. Raises as `named` and `KnownFact.meant` do."""
        known = self.named(name)
        return Fact(known.code, known.meant(words, names_nobody=names_nobody))

    def code_of(self, words: str) -> str:
        """The code of the fact that typed words name; of one that is not in the list the words as they stand."""
        fact = self._by_name.get(folded(words))
        return fact.code if fact else words

    def called(self, name: str, language: str = DEFAULT_LANGUAGE) -> str:
        """The label of a fact; of one that is not in the list its name."""
        known = self.by_code.get(name)
        return known.called(language) if known else name

    def told(self, fact: Fact, language: str = DEFAULT_LANGUAGE) -> str:
        """What a fact says, as people read it; what is not in the list stays as it stands."""
        known = self.by_code.get(fact.name)
        return known.told(fact.value, language) if known else fact.value

    def in_order(self, facts: Iterable[Fact]) -> list[Fact]:
        """Facts in the order of the list, those that it lacks last."""
        places = {fact.code: place for place, fact in enumerate(self.listed)}
        return sorted(facts, key=lambda fact: places.get(fact.name, len(places)))

    def with_those(self, others: "KnownFacts") -> "KnownFacts":
        """The list with another's facts: in the place of those of the same name, and the rest behind."""
        by_code = {**self.by_code, **others.by_code}
        together = dict.fromkeys((*self.together, *others.together))
        return KnownFacts(tuple(by_code.values()), tuple(together))


def lacking(known: KnownFacts, facts: Sequence[Fact]) -> list[tuple[str, str]]:
    """Which facts are said without one that they need, and which that is, by name."""
    said = {fact.name for fact in facts}
    needed = ((fact.name, need) for fact in facts for need in getattr(known.by_code.get(fact.name), "needs", ()))
    return [(name, need) for name, need in needed if need not in said]
