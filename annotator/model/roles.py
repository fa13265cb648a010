"""Roles: who did what a tag says, never a name. They are data, and travel inside the case as the vocabulary does."""

from collections.abc import Container, Iterable, Mapping

import msgspec
from msgspec.structs import replace

from annotator.model.derived import derived_from
from annotator.model.named import Named, unknown
from annotator.model.vocabulary import DEFAULT_LANGUAGE
from annotator.model.words.forms import folded

NOBODY = "not said"
"""What stands where nobody said who did it; no role may be called so."""


class Role(Named, frozen=True):
    """One way of taking part; its code is what tags and tables say."""


class Roles(msgspec.Struct, frozen=True, dict=True):
    """The roles that a case knows, in the order in which they are offered and told."""

    listed: tuple[Role, ...]

    @derived_from("listed")
    def by_code(self) -> Mapping[str, Role]:
        return {role.code: role for role in self.listed}

    @derived_from("listed")
    def _by_name(self) -> Mapping[str, Role]:
        return {folded(name): role for role in self.listed for name in role.names()}

    def known(self, code: str) -> Role:
        """The role of a code. Raises UnknownName with the list."""
        if code not in self.by_code:
            raise unknown("performer", code, self.listed)
        return self.by_code[code]

    def meant(self, words: str) -> Role:
        """The role that typed words mean; letter case, dashes and blanks aside. Raises UnknownName with the list."""
        role = self._by_name.get(folded(words))
        if role is None:
            raise unknown("performer", words, self.listed)
        return role

    def called(self, code: str | None, language: str = DEFAULT_LANGUAGE) -> str:
        """The label of a role; of one that is not in the list its code; of nobody nothing."""
        role = self.by_code.get(code or "")
        return role.called(language) if role else code or ""

    def order(self, codes: Iterable[str]) -> list[str]:
        """Codes in the order of the list, those that it lacks last."""
        places = {role.code: place for place, role in enumerate(self.listed)}
        return sorted(codes, key=lambda code: places.get(code, len(places)))

    def with_those(self, others: Iterable[Role]) -> "Roles":
        """The list with those behind it whose codes mean nothing in it, each without the names that another has."""
        roles, taken = list(self.listed), dict(self._by_name)
        for role in others:
            if folded(role.code) not in taken:
                kept = _without(role, taken)
                roles.append(kept)
                taken |= {folded(name): kept for name in kept.names()}
        return Roles(tuple(roles))


def _without(role: Role, taken: Container[str]) -> Role:
    """The role without the labels and synonyms that mean another; its code is its label where none is left."""
    label = {language: text for language, text in role.label.items() if folded(text) not in taken}
    free = {
        language: tuple(text for text in texts if folded(text) not in taken)
        for language, texts in role.synonyms.items()
    }
    synonyms = {language: texts for language, texts in free.items() if texts}
    return replace(role, label=label or {DEFAULT_LANGUAGE: role.code}, synonyms=synonyms)


ROLES_OF_1_0 = Roles(
    (
        Role("teacher", {"en": "teacher"}),
        Role("trainee", {"en": "trainee"}),
        Role("trainee under guidance", {"en": "trainee under guidance"}),
    )
)
"""What a case file means that has no list of its own, as none had at first."""
