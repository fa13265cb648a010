"""The map of a logbook as YAML.

columns:  - name, of (code of a fact, or case, role, own-share, not-said)
critical: [step, …]
own:      [role, …]
roles:    {role: what it is called in the logbook}, may be left out
"""

from collections.abc import Collection, Mapping

from annotator.errors import InvalidFile
from annotator.formats.faults import Faults, Path
from annotator.formats.vocabulary.plain_values import PlainReader
from annotator.formats.vocabulary.yaml_text import line_of, plain_of
from annotator.model.logbook import MADE, Column, LogbookMap

WHAT = "This is not a valid map of a logbook"
MOST = 100
"""Columns, steps and roles, of each."""

_ROOT = ("columns", "critical", "own", "roles")


def loads(text: str, facts: Collection[str]) -> LogbookMap:
    """The map that a YAML text holds; `facts` are the codes of the known ones.

    Raises InvalidFile with every fault and its line.
    """
    plain, lines = plain_of(text, WHAT)
    faults = Faults(line_of(lines))
    found = _Reader(faults).map(plain, (*MADE, *facts))
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    return found


class _Reader(PlainReader):
    def map(self, plain: object, known: Collection[str]) -> LogbookMap:
        said = self.mapping((), plain, "a map of a logbook", _ROOT, needed=("columns", "critical", "own"))
        columns = [self.column(*one, known) for one in self.items(("columns",), said.get("columns"), MOST)]
        names = [one.name for one in columns]
        if len(set(names)) < len(names):
            self._faults.add(("columns",), "two columns have one name; give each its own")
        if said.get("columns") == []:
            self._faults.add(("columns",), "there are no columns; list at least one")
        return LogbookMap(
            tuple(columns),
            self.names(("critical",), said.get("critical")),
            self.names(("own",), said.get("own")),
            self.role_names(("roles",), said.get("roles")),
        )

    def column(self, path: Path, plain: object, known: Collection[str]) -> Column:
        said = self.mapping(path, plain, "a column", ("name", "of"), needed=("name", "of"))
        of = self.text((*path, "of"), said.get("of"))
        if of and of not in known:
            self._faults.add((*path, "of"), f"“{of}” is no fact, and none of {', '.join(MADE)}", of, known)
        return Column(self.text((*path, "name"), said.get("name")), of)

    def names(self, path: Path, plain: object) -> tuple[str, ...]:
        found = tuple(self.text(at, item) for at, item in self.items(path, plain, MOST))
        if plain == []:
            self._faults.add(path, f"nothing is listed under “{path[-1]}”; list at least one")
        return found

    def role_names(self, path: Path, plain: object) -> Mapping[str, str]:
        if plain is not None and not isinstance(plain, Mapping):
            self._faults.add(path, "this is written as “role: what it is called”")
            return {}
        return {str(role): self.text((*path, str(role)), name) for role, name in (plain or {}).items()}
