"""A score sheet as YAML, as a department writes its own.

code, prefLabel {en: …}, altLabel {en: [… , …]}, source,
raters: - code, prefLabel, altLabel
items:  - code, prefLabel, altLabel, definition {en: …}, levels - score, anchor {en: …}
"""

from collections.abc import Sequence

from annotator.errors import InvalidFile
from annotator.formats import named
from annotator.formats.faults import Faults, Path
from annotator.formats.vocabulary.yaml_text import line_of, plain_of
from annotator.model.named import Named
from annotator.model.sheet import Item, Level, Sheet

WHAT = "This is not a valid score sheet"
MOST_ITEMS = 100
MOST_RATERS = 20
MOST_LEVELS = 20
HIGHEST = 1_000

_ROOT = (*named.KEYS, "source", "raters", "items")


def loads(text: str) -> Sheet:
    """The sheet that a YAML text holds. Raises InvalidFile with every fault and its line."""
    plain, lines = plain_of(text, WHAT)
    faults = Faults(line_of(lines))
    sheet = _Reader(faults).sheet(plain)
    if not faults.said:
        named.note_doubles(faults, ("raters",), sheet.raters, {})
        named.note_doubles(faults, ("items",), sheet.items, {})
        _note_other_ranges(faults, sheet.items)
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    return sheet


class _Reader(named.NamedReader):
    def sheet(self, plain: object) -> Sheet:
        needed = ("code", "prefLabel", "source", "raters", "items")
        said = self.mapping((), plain, "a score sheet", _ROOT, needed)
        names = self.named((), said)
        raters = [self.rater(*one) for one in self.items(("raters",), said.get("raters"), MOST_RATERS)]
        items = [self.item(*one) for one in self.items(("items",), said.get("items"), MOST_ITEMS)]
        for key in ("raters", "items"):
            if said.get(key) == []:
                self._faults.add((key,), f"there are no {key}; list at least one")
        return Sheet(
            code=self.notation(("code",), names.code),
            label=names.label,
            synonyms=names.synonyms,
            items=tuple(items),
            raters=tuple(raters),
            source=self.text(("source",), said.get("source")),
        )

    def rater(self, path: Path, plain: object) -> Named:
        names = self.named(path, self.mapping(path, plain, "a rater", named.KEYS, needed=("code", "prefLabel")))
        return Named(self.notation((*path, "code"), names.code), names.label, names.synonyms)

    def item(self, path: Path, plain: object) -> Item:
        keys = (*named.KEYS, "definition", "levels")
        said = self.mapping(path, plain, "an item", keys, needed=("code", "prefLabel", "levels"))
        names = self.named(path, said)
        levels = [self.level(*one) for one in self.items((*path, "levels"), said.get("levels"), MOST_LEVELS)]
        scores = [level.score for level in levels]
        if scores != sorted(set(scores)) or len(scores) < 2:
            self._faults.add(path, "an item has two levels at least, each with a higher score than the one before")
        return Item(
            code=self.notation((*path, "code"), names.code),
            label=names.label,
            synonyms=names.synonyms,
            levels=tuple(levels),
            definition=self.texts((*path, "definition"), said.get("definition")),
        )

    def level(self, path: Path, plain: object) -> Level:
        said = self.mapping(path, plain, "a level", ("score", "anchor"), needed=("score", "anchor"))
        score = self.whole((*path, "score"), said.get("score"), HIGHEST)
        return Level(score, self.texts((*path, "anchor"), said.get("anchor")))


def _note_other_ranges(faults: Faults, items: Sequence[Item]) -> None:
    """A mean over items says something only where all have the same lowest and highest score."""
    first = items[0].levels
    for index, item in enumerate(items):
        ends = item.levels[0].score, item.levels[-1].score
        if ends != (first[0].score, first[-1].score):
            faults.add(
                ("items", index),
                f"“{item.code}” is scored {ends[0]} to {ends[1]} and the first item {first[0].score} to "
                f"{first[-1].score}; give all the same lowest and highest score, or their mean says nothing",
            )
