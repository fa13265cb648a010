"""Names that are near to what was written, though not equal: misspelt, cut short, or with a word more or less."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from annotator.model.words.forms import form_of
from annotator.model.words.like import ALIKE_BY, LikeWords, has_opposite, opposed
from annotator.model.words.rules import MODIFIERS, MODIFYING_ENDINGS, NEGATIONS, TURNS, UNITS

Forms = tuple[str, ...]

WEIGHS_LEAST, WEIGHS_MOST = 5, 10
"""A word weighs as many as it has letters, within these bounds: long ones tell more."""

ABBREVIATION_WEIGHS = 14

MODIFIER_WEIGHS = 0.5
STRANGER_WEIGHS, STRANGE_MODIFIER_WEIGHS = 1.6, 1.0
"""Times its letters: what a word weighs against a name that does not hold it."""

MORE_WEIGHS = 0.5
"""Times the same: what a word weighs that only says more of what is meant, as behind “with”."""

WITHOUT_HEAD_BY = 0.8
"""How far a name counts that lacks the last word, which says what kind of thing is meant, though others have it."""

UNITED_BY = 0.9
"""How far the words count that stand in several names of one thing."""

HEADED_BY, HEAD_WEIGHS = 0.78, 0.6
"""How near a thing is whose whole name ends the words, when all the others are of the trade and it weighs more than so
many times theirs.
"""

MOST_KEPT = 4096
"""Results that are kept: most of what is misspelt in a table comes to the same words, misspelt in as many ways."""

_STRANGE = "?"
_MODIFYING = frozenset(map(form_of, (*MODIFIERS, *UNITS)))
_DENYING = frozenset(map(form_of, NEGATIONS))


class Scored(NamedTuple):
    """A thing, and how near its nearest name is: from 0 to 1, which is all the same."""

    meant: str
    score: float


class Entry(NamedTuple):
    """One name: the thing it means, and the forms of its words."""

    meant: str
    forms: Forms


class _Typed(NamedTuple):
    """One word that was written: what it may stand for, what it weighs, and what it weighs where no word matches it.

    `form` is `_STRANGE` for all words of which nothing is known but what they may stand for: they count alike.
    """

    form: str
    like: Mapping[str, float]
    weight: float
    weight_alone: float
    is_strange: bool

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
        self._scored: dict[object, tuple[Scored, ...]] = {}
        for number, entry in enumerate(entries):
            self._words[entry.meant].update(entry.forms, shared.get(entry.meant, ()))
            for form in set(entry.forms):
                self._holding[form].append(number)

    def scored(self, words: Forms, more: Forms, meant: Forms, least: float) -> tuple[Scored, ...]:
        """The things that score `least`, each once, nearest first, by the forms of what is meant and of what says more
        of it; `words` are both as they were spelt.
        """
        spelt = dict(zip(map(form_of, words), words, strict=True))
        typed = [self._typed(form, spelt.get(form), MORE_WEIGHS) for form in more]
        typed += [self._typed(form, spelt.get(form), 1.0) for form in meant]
        key = least, tuple((one.form, *one[2:], *one.like.items()) for one in typed)
        found = self._scored.get(key)
        if found is None:
            if len(self._scored) >= MOST_KEPT:
                self._scored.clear()
            found = self._scored[key] = self._best(typed, least)
        return found

    def _best(self, typed: Sequence[_Typed], least: float) -> tuple[Scored, ...]:
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

    def _typed(self, form: str, word: str | None, times: float) -> _Typed:
        """`word` is as it was spelt; None for an abbreviation that stands for several."""
        weight = self._weight(form) * times
        is_strange = not self._like.knows(form)
        if form in _MODIFYING or form[0].isdigit():
            factor = MODIFIER_WEIGHS
        elif is_strange:
            factor = STRANGE_MODIFIER_WEIGHS if (word or "").endswith(MODIFYING_ENDINGS) else STRANGER_WEIGHS
        else:
            factor = 1.0
        like = {form: 1.0} if word is None else self._like.of(word)
        says_nothing = is_strange and factor != MODIFIER_WEIGHS and form not in _DENYING and not has_opposite(form)
        return _Typed(_STRANGE if says_nothing else form, like, weight, weight * factor, is_strange)

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
        if is_merely_alike or _contradicts(typed, alone, left) or self._is_its_opposite(alone, entry.meant):
            return 0.0
        weighed = matched + sum(one.weight_alone for one in alone)
        score = agreed / (weighed + self._weights[number])
        if not left or len(alone) < len(typed) - 1:
            score = max(score, UNITED_BY * (united + self._in_other_names(alone, entry.meant)) / weighed)
        if alone and alone[-1] is _head(typed) and self._is_elsewhere(alone[-1].form, entry.meant):
            score *= WITHOUT_HEAD_BY
        return max(score, HEADED_BY) if not left and self._is_headed(typed, alone, entry) else score

    def _in_other_names(self, alone: Sequence[_Typed], meant: str) -> float:
        """What the words weigh that other names of the thing hold."""
        words = self._words[meant]
        return sum(
            max((by for form, by in one.like.items() if form in words), default=0) * one.weight_alone for one in alone
        )

    def _is_its_opposite(self, alone: Sequence[_Typed], meant: str) -> bool:
        """Whether a word says the opposite of what other names of the thing say: anterior of a posterior one."""
        words = self._words[meant]
        return any(one.form not in words and opposed(one.form, words) for one in alone)

    def _is_elsewhere(self, form: str, meant: str) -> bool:
        """Whether names of other things hold a word and none of this one does."""
        return form in self._holding and form not in self._words[meant]

    def _is_headed(self, typed: Sequence[_Typed], alone: Sequence[_Typed], entry: Entry) -> bool:
        head = typed[-len(entry.forms) :]
        ends = tuple(one.form for one in head) == entry.forms
        is_most = sum(one.weight for one in head) > HEAD_WEIGHS * sum(one.weight for one in alone)
        return ends and is_most and not any(one.is_strange and one.form not in _MODIFYING for one in alone)


def _head(typed: Sequence[_Typed]) -> _Typed:
    """The word that says what kind of thing is meant: the last that does not only say more."""
    return next((one for one in reversed(typed) if one.form not in _MODIFYING), typed[-1])


def _contradicts(typed: Sequence[_Typed], alone: Sequence[_Typed], left: Sequence[str]) -> bool:
    """Whether what only one of both says is not merely more: a denial, an opposite, another number."""
    if any(form in _DENYING or form[0].isdigit() for form in left):
        return True
    return any(
        one.form in _DENYING or opposed(one.form, left) or (one.form[0].isdigit() and not _is_measure(one, typed))
        for one in alone
    )


def _is_measure(number: _Typed, typed: Sequence[_Typed]) -> bool:
    """Whether a number says how many, how large or how far around: it stands before something, or is part of a turn."""
    return number.form in TURNS or typed[-1] is not number
