"""Names that are near to what was written, though not equal: misspelt, cut short, or with a word more or less."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from annotator.model.words.forms import form_of
from annotator.model.words.like import ALIKE_BY, LikeWords, opposed
from annotator.model.words.rules import MODIFIERS, NEGATIONS, TURNS, UNITS

Forms = tuple[str, ...]

WEIGHS_LEAST, WEIGHS_MOST = 5, 10
"""A word weighs as many as it has letters, within these bounds: long ones tell more."""

ABBREVIATION_WEIGHS = 8

MODIFIER_WEIGHS = 0.5
STRANGER_WEIGHS = 2.0
"""Times its letters: what a word weighs against a name that does not hold it."""

UNITED_BY = 0.9
"""How far the words count that stand in several names of one thing."""

HEADED_BY = 0.78
"""How near a thing is whose whole name ends the words, when all the others are of the trade."""

_MODIFYING = frozenset(map(form_of, (*MODIFIERS, *UNITS)))
_DENYING = frozenset(map(form_of, NEGATIONS))
_UNITS = frozenset(map(form_of, UNITS))


class Scored(NamedTuple):
    """A thing, and how near its nearest name is: from 0 to 1, which is all the same."""

    meant: str
    score: float


class Entry(NamedTuple):
    """One name: the thing it means, and the forms of its words."""

    meant: str
    forms: Forms


class NearWords:
    """Names to find near ones among. `shared` are the forms of words that each thing has from those above it."""

    def __init__(
        self, entries: Sequence[Entry], like: LikeWords, abbreviations: Iterable[str], shared: Mapping[str, set[str]]
    ) -> None:
        self._entries = entries
        self._like = like
        self._abbreviations = frozenset(abbreviations)
        self._holding: dict[str, list[Entry]] = defaultdict(list)
        self._words: dict[str, set[str]] = defaultdict(set)
        for entry in entries:
            self._words[entry.meant].update(entry.forms, shared.get(entry.meant, ()))
            for form in set(entry.forms):
                self._holding[form].append(entry)

    def scored(self, words: Forms, forms: Forms, least: float) -> tuple[Scored, ...]:
        """The things that score `least`, each once, nearest first."""
        spelt = {form_of(word): word for word in words}
        typed = [(form, self._like.of(spelt[form]) if form in spelt else {form: 1.0}) for form in forms]
        near = dict.fromkeys(entry for _, like in typed for one in like for entry in self._holding.get(one, ()))
        best: dict[str, float] = {}
        for entry in near:
            score = self._score(typed, entry)
            if score >= max(least, best.get(entry.meant, 0)):
                best[entry.meant] = score
        return tuple(sorted((Scored(*one) for one in best.items()), key=lambda one: (-one.score, one.meant)))

    def _score(self, typed: Sequence[tuple[str, Mapping[str, float]]], entry: Entry) -> float:
        left = list(entry.forms)
        agreed = weighed = united = 0.0
        alone: list[str] = []
        is_merely_alike = True
        for form, like in typed:
            weight = self._weight(form)
            match = max((one for one in left if one in like), key=like.__getitem__, default=None)
            if match is not None:
                left.remove(match)
                is_merely_alike &= like[match] == ALIKE_BY
                agreed += (weight + self._weight(match)) * like[match]
                united += weight * like[match]
                weighed += weight
                continue
            alone.append(form)
            factor = self._factor(form)
            weighed += weight * factor
            united += max((like[one] for one in like if one in self._words[entry.meant]), default=0) * weight * factor
        forms = [form for form, _ in typed]
        if is_merely_alike or _contradicts(forms, alone, left):
            return 0.0
        score = agreed / (weighed + sum(map(self._weight, entry.forms)))
        if not left or len(alone) < len(typed) - 1:
            score = max(score, UNITED_BY * united / weighed)
        if not left and all(map(self._is_of_trade, alone)) and tuple(forms[-len(entry.forms) :]) == entry.forms:
            score = max(score, HEADED_BY)
        return score

    def _weight(self, form: str) -> float:
        if form in self._abbreviations:
            return ABBREVIATION_WEIGHS
        return min(max(len(form), WEIGHS_LEAST), WEIGHS_MOST)

    def _is_of_trade(self, form: str) -> bool:
        return form in _MODIFYING or form[0].isdigit() or self._like.knows(form)

    def _factor(self, form: str) -> float:
        if form in _MODIFYING or form[0].isdigit():
            return MODIFIER_WEIGHS
        return 1.0 if self._like.knows(form) else STRANGER_WEIGHS


def _contradicts(forms: Sequence[str], alone: Sequence[str], left: Sequence[str]) -> bool:
    """Whether what only one of both says is not merely more: a denial, an opposite, another number."""
    if not _DENYING.isdisjoint((*alone, *left)) or any(one[0].isdigit() for one in left):
        return True
    return any(opposed(one, left) or (one[0].isdigit() and not _is_measure(one, forms)) for one in alone)


def _is_measure(number: str, forms: Sequence[str]) -> bool:
    """Whether a number says how large or how far around: one with a unit, or a part of a full turn."""
    at = list(forms).index(number)
    return number in TURNS or not _UNITS.isdisjoint(forms[at + 1 : at + 2])
