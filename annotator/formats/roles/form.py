"""The plain form of a list of roles: dicts, lists and texts, as they stand in YAML and in a case file.

roles: - code, prefLabel {en: …}, altLabel {en: [… , …]} (may be left out)
"""

from typing import Any

from annotator.errors import InvalidFile
from annotator.formats import named
from annotator.formats.faults import Faults, Path, PlaceOf
from annotator.model.roles import NOBODY, Role, Roles

WHAT = "This is not a valid list of roles"
MOST_ROLES = 50

_ONCE = ("level",)
"""Keys that lists had while they were first made; they said nothing that anybody used, and are passed over."""


def to_plain(roles: Roles) -> list[dict[str, Any]]:
    """The roles as dicts, lists, texts and numbers; what is empty is left out."""
    return [_plain_role(role) for role in roles.listed]


def _plain_role(role: Role) -> dict[str, Any]:
    said = named.to_plain(role)
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
        named.note_doubles(faults, ("roles",), roles.listed, {NOBODY: "that nobody said who"})
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    return roles


class _Reader(named.NamedReader):
    def role(self, path: Path, plain: object) -> Role:
        said = self.mapping(path, plain, "a role", (*named.KEYS, *_ONCE), needed=("code", "prefLabel"))
        names = self.named(path, said)
        return Role(names.code, names.label, names.synonyms)
