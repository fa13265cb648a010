"""Names that are near to what was written, though not equal: misspelt, cut short, or with a word more or less."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
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


class _Typed(NamedTuple):
    """One word that was written: what it may stand for, what it weighs, and what it weighs where no word matches it."""

    form: str
    like: Mapping[str, float]
    weight: float
    weight_alone: float

    def match(self, left: Sequence[str]) -> str | None:
        """The one of the words left over that it stands for best."""
        if self.form in left:
            return self.form
        return max((one for one in left if one in self.like), key=self.like.__getitem__, default=None)


class NearWords:
    """Names to find near ones among. `shared` are the forms of words that each thing has from those above it."""

    def __init__(
        self, entries: Sequence[Entry], like: LikeWords, abbreviations: Iterable[str], shared: Mapping[str, set[str]]
    ) -> None:
        self._like = like
        self._abbreviations = frozenset(abbreviations)
        self._entries = entries
        self._weight_of = {form: self._weight(form) for entry in entries for form in entry.forms}
        self._weights = [sum(self._weight_of[form] for form in entry.forms) for entry in entries]
        self._holding: dict[str, list[int]] = defaultdict(list)
        self._words: dict[str, set[str]] = defaultdict(set)
        for number, entry in enumerate(entries):
            self._words[entry.meant].update(entry.forms, shared.get(entry.meant, ()))
            for form in set(entry.forms):
                self._holding[form].append(number)

    def scored(self, words: Forms, forms: Forms, least: float) -> tuple[Scored, ...]:
        """The things that score `least`, each once, nearest first."""
        spelt = dict(zip(map(form_of, words), words, strict=True))
        typed = [self._typed(form, spelt.get(form)) for form in forms]
        best: dict[str, float] = {}
        for number in self._worth_scoring(typed, least):
            entry, score = self._entries[number], self._score(typed, number)
            if score >= max(least, best.get(entry.meant, 0)):
                best[entry.meant] = score
        return tuple(sorted((Scored(*one) for one in best.items()), key=lambda one: (-one.score, one.meant)))

    def _worth_scoring(self, typed: Sequence[_Typed], least: float) -> Iterator[int]:
        """The numbers of the names that may reach `least`, by the words that they share with what was written."""
        shared: dict[int, float] = {}
        for one in typed:
            for form in one.like:
                for number in self._holding.get(form, ()):
                    shared[number] = shared.get(number, 0.0) + one.weight
        lightest = sum(min(one.weight, one.weight_alone) for one in typed)
        for number, weight in shared.items():
            named = self._weights[number]
            if weight >= named or 2 * weight >= least * (lightest + named):
                yield number

    def _typed(self, form: str, word: str | None) -> _Typed:
        """`word` is as it was spelt; None for an abbreviation that stands for several."""
        weight = self._weight(form)
        is_more = form in _MODIFYING or form[0].isdigit()
        factor = MODIFIER_WEIGHS if is_more else 1.0 if self._like.knows(form) else STRANGER_WEIGHS
        return _Typed(form, {form: 1.0} if word is None else self._like.of(word), weight, weight * factor)

    def _weight(self, form: str) -> float:
        if form in self._abbreviations:
            return ABBREVIATION_WEIGHS
        return min(max(len(form), WEIGHS_LEAST), WEIGHS_MOST)

    def _score(self, typed: Sequence[_Typed], number: int) -> float:
        entry = self._entries[number]
        left = list(entry.forms)
        alone: list[_Typed] = []
        agreed = matched = united = 0.0
        is_merely_alike = True
        for one in typed:
            match = one.match(left)
            if match is None:
                alone.append(one)
                continue
            by = one.like[match]
            left.remove(match)
            agreed += (one.weight + self._weight_of[match]) * by
            matched += one.weight
            united += one.weight * by
            is_merely_alike &= by == ALIKE_BY
        if is_merely_alike or _contradicts(typed, alone, left):
            return 0.0
        weighed = matched + sum(one.weight_alone for one in alone)
        score = agreed / (weighed + self._weights[number])
        if not left or len(alone) < len(typed) - 1:
            score = max(score, UNITED_BY * (united + self._in_other_names(alone, entry.meant)) / weighed)
        return max(score, HEADED_BY) if not left and self._is_headed(typed, alone, entry) else score

    def _in_other_names(self, alone: Sequence[_Typed], meant: str) -> float:
        """What the words weigh that other names of the thing hold."""
        words = self._words[meant]
        return sum(
            max((by for form, by in one.like.items() if form in words), default=0) * one.weight_alone for one in alone
        )

    def _is_headed(self, typed: Sequence[_Typed], alone: Sequence[_Typed], entry: Entry) -> bool:
        ends = tuple(one.form for one in typed[-len(entry.forms) :]) == entry.forms
        return ends and all(one.weight_alone <= one.weight for one in alone)


def _contradicts(typed: Sequence[_Typed], alone: Sequence[_Typed], left: Sequence[str]) -> bool:
    """Whether what only one of both says is not merely more: a denial, an opposite, another number."""
    if any(form in _DENYING or form[0].isdigit() for form in left):
        return True
    return any(
        one.form in _DENYING or opposed(one.form, left) or (one.form[0].isdigit() and not _is_measure(one, typed))
        for one in alone
    )


def _is_measure(number: _Typed, typed: Sequence[_Typed]) -> bool:
    """Whether a number says how large or how far around: one with a unit, or a part of a full turn."""
    after = typed[typed.index(number) + 1 :]
    return number.form in TURNS or (bool(after) and after[0].form in _UNITS)
