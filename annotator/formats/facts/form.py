"""The plain form of a list of facts: dicts, lists and texts, as they stand in YAML.

facts:    - code, prefLabel {en: …}, altLabel {en: [… , …]}, definition {en: …}, kind (choice, number, month, text),
            values (of a choice) - code, prefLabel, altLabel, anchor {en: …},
            least, most, decimals, unit (of a number), needs [code of a fact, …]
together: - [code of a fact, …]
"""

from collections.abc import Sequence
from typing import Any

from annotator.errors import InvalidFile
from annotator.formats import named
from annotator.formats.faults import Faults, Path, PlaceOf
from annotator.model.facts import FactKind, FactValue, KnownFact, KnownFacts

WHAT = "This is not a valid list of facts"
MOST_FACTS = 100
MOST_VALUES = 200
MOST_TOGETHER = 50
HIGHEST = 999_999_999
MOST_DECIMALS = 6

_ROOT = ("facts", "together")
_OF_NUMBERS = ("least", "most", "decimals", "unit")
_FACT_KEYS = (*named.KEYS, "definition", "kind", "values", *_OF_NUMBERS, "needs")
_VALUE_KEYS = (*named.KEYS, "anchor")


def from_plain(plain: object, place_of: PlaceOf) -> KnownFacts:
    """The facts that a list in the plain form says. `place_of` words where in a file a fault stands.

    Raises InvalidFile with every fault found. Names of facts in `needs` and `together` may be those of another list.
    """
    faults = Faults(place_of)
    reader = _Reader(faults)
    root = reader.mapping((), plain, "a list of facts", _ROOT, needed=("facts",))
    items = list(reader.items(("facts",), root.get("facts"), MOST_FACTS))
    facts = tuple(reader.fact(path, item) for path, item in items)
    together = tuple(
        reader.notations(path, item) for path, item in reader.items(("together",), root.get("together"), MOST_TOGETHER)
    )
    if not faults.said:
        named.note_doubles(faults, ("facts",), facts, {})
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    return KnownFacts(facts, together)


class _Reader(named.NamedReader):
    def fact(self, path: Path, plain: object) -> KnownFact:
        said = self.mapping(path, plain, "a fact", _FACT_KEYS, needed=("code", "prefLabel", "kind"))
        kind = self.member((*path, "kind"), said.get("kind"), FactKind) or FactKind.TEXT
        self._check_kind(path, said, kind)
        names = self.named(path, said)
        values = list(self.items((*path, "values"), said.get("values"), MOST_VALUES))
        found = KnownFact(
            code=self.notation((*path, "code"), names.code) or names.code,
            label=names.label,
            synonyms=names.synonyms,
            kind=kind,
            definition=self.texts((*path, "definition"), said.get("definition")),
            values=tuple(self.value(at, item) for at, item in values),
            least=self.whole((*path, "least"), said.get("least"), HIGHEST),
            most=self.whole((*path, "most"), said.get("most"), HIGHEST, HIGHEST),
            decimals=self.whole((*path, "decimals"), said.get("decimals"), MOST_DECIMALS),
            unit=self.text((*path, "unit"), said.get("unit")),
            needs=self.notations((*path, "needs"), said.get("needs")),
        )
        named.note_doubles(self._faults, (*path, "values"), found.values, {})
        if found.least > found.most:
            self._faults.add((*path, "least"), f"{found.least} is more than the {found.most} that it may be at most")
        return found

    def value(self, path: Path, plain: object) -> FactValue:
        said = self.mapping(path, plain, "a value", _VALUE_KEYS, needed=("code", "prefLabel"))
        names = self.named(path, said)
        return FactValue(
            code=self.notation((*path, "code"), names.code) or names.code,
            label=names.label,
            synonyms=names.synonyms,
            anchor=self.texts((*path, "anchor"), said.get("anchor")),
        )

    def _check_kind(self, path: Path, said: Any, kind: FactKind) -> None:
        """What belongs to one kind only."""
        if kind is FactKind.CHOICE and not said.get("values"):
            self._faults.add(path, "a choice needs “values”; list at least one")
        elsewhere: Sequence[str] = () if kind is FactKind.CHOICE else ("values",)
        elsewhere = (*elsewhere, *(() if kind is FactKind.NUMBER else _OF_NUMBERS))
        for key in elsewhere:
            if said.get(key) is not None:
                belongs = "choice" if key == "values" else "number"
                self._faults.add((*path, key), f"“{key}” belongs to a {belongs}, and this is a {kind}")
