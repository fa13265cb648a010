"""What steps, roles and other terms are called over cases of one vocabulary, some of which have terms of their own."""

from collections.abc import Iterable
from typing import NamedTuple

from annotator.measure.within import PERFORMER
from annotator.model.case import Case
from annotator.model.reference import OPERATION
from annotator.model.roles import Role
from annotator.model.vocabulary import Concept, label_in
from annotator.plain_text import capitalised


class Rules(NamedTuple):
    """What begins a step and what ends it, as the vocabulary says; empty where it does not."""

    begins: str
    ends: str


class Terms:
    """The terms and roles of all cases, each as the first case that knows it calls it."""

    def __init__(self, cases: Iterable[Case], language: str) -> None:
        listed = list(cases)
        self._language = language
        self._concepts: dict[str, Concept] = {}
        self._roles: dict[str, Role] = {}
        for vocabulary in {id(case.vocabulary): case.vocabulary for case in listed}.values():
            for concept in vocabulary.concepts:
                self._concepts.setdefault(concept.notation, concept)
        for roles in {id(case.roles): case.roles for case in listed}.values():
            for role in roles.listed:
                self._roles.setdefault(role.code, role)
        self._places = {name: at for at, name in enumerate([OPERATION, *self._roles, *self._concepts])}

    def in_order(self, names: Iterable[str]) -> list[str]:
        """Notations, or codes of roles, in the order of their lists; the operating time first."""
        return sorted(names, key=lambda one: (self._places.get(one, len(self._places)), one))

    def label(self, notation: str) -> str:
        if notation == OPERATION:
            return "Operating time"
        concept = self._concepts.get(notation)
        return concept.label(self._language) if concept else notation

    def part(self, facet: str, name: str) -> str:
        """What lay within a step: the label of a concept, or of the role of a performer."""
        if facet != PERFORMER:
            return self.label(name)
        role = self._roles.get(name)
        return capitalised(role.called(self._language) if role else name)

    def rules(self, notation: str) -> Rules:
        if notation == OPERATION:
            return Rules("The first start of a step that begins the operation.", "The last end of a step that ends it.")
        concept = self._concepts.get(notation)
        if concept is None:
            return Rules("", "")
        return Rules(label_in(concept.begins_when, self._language), label_in(concept.ends_when, self._language))
