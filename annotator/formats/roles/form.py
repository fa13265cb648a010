"""The plain form of a list of roles: dicts, lists and texts, as they stand in YAML and in a case file.

roles: - code, prefLabel {en: …}, altLabel {en: [… , …]} (may be left out)
"""

from typing import Any

from annotator.errors import InvalidFile
from annotator.formats.faults import LONGEST_NAME, Faults, Path, PlaceOf, short
from annotator.formats.vocabulary.plain_values import PlainReader
from annotator.model.roles import NOBODY, Role, Roles
from annotator.model.words.forms import folded

WHAT = "This is not a valid list of roles"
MOST_ROLES = 50
_MOST_NAMES = 50
"""Names of one role."""

_KEYS = ("code", "prefLabel", "altLabel")

_ONCE = ("level",)
"""Keys that lists had while they were first made; they said nothing that anybody used, and are passed over."""


def to_plain(roles: Roles) -> list[dict[str, Any]]:
    """The roles as dicts, lists, texts and numbers; what is empty is left out."""
    return [_plain_role(role) for role in roles.listed]


def _plain_role(role: Role) -> dict[str, Any]:
    said = {
        "code": role.code,
        "prefLabel": dict(role.label),
        "altLabel": {language: list(texts) for language, texts in role.synonyms.items()},
    }
    return {key: value for key, value in said.items() if value}


def from_plain(plain: object, place_of: PlaceOf) -> Roles:
    """The roles that a list in the plain form says. `place_of` words where in a file a fault stands.

    Raises InvalidFile with every fault found.
    """
    faults = Faults(place_of)
    reader = _Reader(faults)
    items = list(reader.items(("roles",), plain, MOST_ROLES))
    roles = Roles(tuple(reader.role(path, item) for path, item in items))
    if not roles.listed:
        faults.add(("roles",), "there are no roles; list at least one")
    if not faults.said:
        _check_names(roles, faults)
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    return roles


class _Reader(PlainReader):
    def role(self, path: Path, plain: object) -> Role:
        said = self.mapping(path, plain, "a role", (*_KEYS, *_ONCE), needed=("code", "prefLabel"))
        role = Role(
            code=self.text((*path, "code"), said.get("code")),
            label=self.texts((*path, "prefLabel"), said.get("prefLabel")),
            synonyms=self.synonyms((*path, "altLabel"), said.get("altLabel")),
        )
        names = list(role.names())
        for name in names:
            if len(name) > LONGEST_NAME or " ".join(name.split()) != name:
                self._faults.add(
                    path, f"“{short(name)}” is no name: up to {LONGEST_NAME} characters with single blanks"
                )
        if len(names) > _MOST_NAMES:
            self._faults.add(path, f"{len(names)} names are more than the {_MOST_NAMES} that are read")
        return role


def _check_names(roles: Roles, faults: Faults) -> None:
    """A name that means two roles, or nobody."""
    meant: dict[str, str] = {folded(NOBODY): ""}
    for index, role in enumerate(roles.listed):
        if role.code in (other.code for other in roles.listed[:index]):
            faults.add(("roles", index, "code"), f"“{short(role.code)}” is listed twice; each role once")
            continue
        for name in role.names():
            other = meant.setdefault(folded(name), role.code)
            if other != role.code:
                whom = f"“{short(other)}” already" if other else "that nobody said who"
                faults.add(("roles", index), f"“{short(name)}” means {whom}; give each role names of its own")
