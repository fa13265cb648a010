"""Single words that may stand for one another: alike in meaning, misspelt or cut short."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import lru_cache
from itertools import groupby, islice, takewhile
from operator import itemgetter

from annotator.model.words.forms import form_of
from annotator.model.words.rules import ALIKE, FIRST_PARTS, LAST_PARTS, LEARNED_ENDINGS, OPPOSITES

ALIKE_BY = 0.9
"""How far a word counts that often says the same, 1 being the word itself."""

CUT_SHORT_BY, CUT_VERY_SHORT_BY = 0.85, 0.7
SHORTEST_BEGINNING = 3
"""Letters that a word may be cut down to; with no more it is very short, and names nothing by itself."""

SLIP_BY, TWO_SLIPS_BY = 0.93, 0.89
SHORTEST_WITH_SLIP, SHORTEST_WITH_TWO = 6, 9
"""Letters of a word that one may take for another misspelt; in shorter ones a slip makes another word."""

PERHAPS_BY = 0.6
"""How far a short word counts that differs by a letter: it is told, never taken."""

SHORTEST = 4
"""Letters below which a word stands for itself alone, as most abbreviations do."""

_VOWELS = frozenset("aeiouy")


def _by_form(groups: Iterable[str]) -> Mapping[str, frozenset[str]]:
    """For the form of each word the others of its groups."""
    others: dict[str, set[str]] = defaultdict(set)
    for group in groups:
        forms = {form_of(word) for word in group.split()}
        for form in forms:
            others[form] |= forms - {form}
    return {form: frozenset(found) for form, found in others.items()}


_ALIKE, _OPPOSED = _by_form(ALIKE), _by_form(OPPOSITES)


def has_opposite(form: str) -> bool:
    """Whether any form means the opposite of this one."""
    return form in _OPPOSED


def opposed(one: str, others: Iterable[str]) -> bool:
    """Whether a form means the opposite of any of others."""
    return one in _OPPOSED and not _OPPOSED[one].isdisjoint(others)


class LikeWords:
    """The words of some names, to find those that another word may stand for.

    `known` are forms of words that are no mistakes though no name holds them.
    """

    def __init__(self, words: Iterable[str], known: Iterable[str]) -> None:
        self._form_of = {word: form_of(word) for word in words}
        self._forms = frozenset(self._form_of.values())
        self._known = self._forms.union(known)
        self._in_order = sorted(word for word in self._form_of if word.isalpha())
        self._by_length: dict[int, list[str]] = defaultdict(list)
        for word in self._in_order:
            if not _VOWELS.isdisjoint(word):
                self._by_length[len(word)].append(word)
        self._looked_up: dict[str, Mapping[str, float]] = {}

    def knows(self, form: str) -> bool:
        """Whether a form is of a word of the trade."""
        return form in self._known

    def of(self, word: str) -> Mapping[str, float]:
        """The forms that a word may stand for, each with how far it counts, from 0 to 1."""
        found = self._looked_up.get(word)
        if found is None:
            found = self._looked_up[word] = self._of(word)
        return found

    def _of(self, word: str) -> dict[str, float]:
        form = form_of(word)
        found = {form: 1.0} if form in self._forms else {}
        if word.isalpha():
            found = self._clipped(word) | found
            if form not in self._known:
                found |= self._cut_short(word) | self._misspelt(word)
        return dict.fromkeys(_ALIKE.get(form, frozenset()) & self._forms, ALIKE_BY) | found

    def _clipped(self, word: str) -> dict[str, float]:
        """The words that this one is cut short to in daily use."""
        beginnings = (word[:size] for size in range(SHORTEST, len(word))) if word.endswith(LEARNED_ENDINGS) else ()
        return {self._form_of[one]: CUT_SHORT_BY for one in beginnings if one[-1] == "o" and one in self._form_of}

    def _cut_short(self, word: str) -> dict[str, float]:
        """The words that this one is the beginning of."""
        if len(word) < SHORTEST_BEGINNING:
            return {}
        first = bisect_left(self._in_order, word)
        begun = takewhile(lambda spelt: spelt.startswith(word), islice(self._in_order, first, None))
        by = CUT_SHORT_BY if len(word) > SHORTEST_BEGINNING else CUT_VERY_SHORT_BY
        return {self._form_of[spelt]: by for spelt in begun}

    def _misspelt(self, word: str) -> dict[str, float]:
        """The words that this one may be with a letter too many, too few, wrong, or two in each other's place."""
        from rapidfuzz import process  # most starts of the program look up nothing
        from rapidfuzz.distance import OSA

        if len(word) < SHORTEST:
            return {}
        slips = 2 if len(word) >= SHORTEST_WITH_TWO else 1
        lengths = range(max(len(word) - slips, SHORTEST), len(word) + slips + 1)
        spellings = [spelt for length in lengths for spelt in self._by_length.get(length, ())]
        near = process.extract(word, spellings, scorer=OSA.distance, score_cutoff=slips, limit=None)
        return {
            self._form_of[spelt]: _by_slips(word, spelt, round(distance))
            for spelt, distance, _ in sorted(near, key=itemgetter(1), reverse=True)
            if not _means_another(word, spelt)
        }


def _by_slips(word: str, spelt: str, slips: int) -> float:
    if slips > 1:
        return TWO_SLIPS_BY
    is_long = min(len(word), len(spelt)) >= SHORTEST_WITH_SLIP
    return SLIP_BY if is_long or _with_single_letters(word) == _with_single_letters(spelt) else PERHAPS_BY


def _with_single_letters(word: str) -> str:
    return "".join(letter for letter, _ in groupby(word))


def _means_another(one: str, other: str) -> bool:
    """Whether two words differ in a part that bears their meaning: retinotomy and retinectomy, confirmed and un-."""
    (first, last), (other_first, other_last) = _bearing_parts(one), _bearing_parts(other)
    differ = any(ours and theirs and ours != theirs for ours, theirs in ((first, other_first), (last, other_last)))
    return differ or one.removeprefix(first) == other or other.removeprefix(other_first) == one


@lru_cache(maxsize=4096)
def _bearing_parts(word: str) -> tuple[str, str]:
    """The longest of the parts with a meaning that a word begins with, and that it ends with; empty for none."""
    first = max(filter(word.startswith, FIRST_PARTS), key=len, default="")
    return first, max(filter(word.endswith, LAST_PARTS), key=len, default="")
