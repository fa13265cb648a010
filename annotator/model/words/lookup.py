"""What people write and say, looked up among names: equal after normalising, or near, or far.

The names are those of a vocabulary; that something is equal or near says nothing yet of what is done with it.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TypeVar

from annotator.model.words.forms import folded, form_of, words_of, written
from annotator.model.words.like import LikeWords
from annotator.model.words.near import Entry, NearWords, Scored
from annotator.model.words.rules import SWAP
from annotator.model.words.short_forms import Forms, Name, ShortForms

NEAR = 0.72
"""How much of both must agree for a name to be near, 1 being all."""

CLEARLY = 0.06
"""By how much the nearest must be nearer than the next, or it is not clear which is meant."""

MOST_NAMES = 10_000
"""Names among which near ones are looked for; the largest vocabulary that we know of has a thousand."""

NEIGHBOUR = 0.45
"""From which on a name is worth telling to somebody whose words mean nothing."""

Key = TypeVar("Key")

_SWAP = form_of(SWAP)


class Words:
    """Names to look others up in.

    above  for each thing those it is part of: it may be called by their words beside its own
    prose  sentences whose words belong to the trade, though they name nothing
    """

    def __init__(self, names: Iterable[Name], above: Mapping[str, Iterable[str]], prose: Iterable[str]) -> None:
        self._names = tuple(names)
        self._above = above
        self._prose = prose

    def equal(self, text: str) -> Iterator[tuple[str, ...]]:
        """The things with a name equal to `text`, judged ever less strictly; each time all, or none."""
        yield self._by_letters.get(folded(text), ())
        for key in self._keys(text):
            yield self._by_form.get(key, ())

    def nearest(self, text: str) -> tuple[Scored, ...]:
        """The things with the names nearest to `text`, nearest first, among those that are worth telling."""
        words, forms, more = written(text)
        extra, meant = self._shorts.put_in(forms[:more]), self._shorts.put_in(forms[more:])
        best: dict[str, Scored] = {}
        for one in dict.fromkeys(((forms[:more], forms[more:]), (extra, meant))):
            for scored in self._near.scored(words, *one, NEIGHBOUR):
                best[scored.meant] = max(scored, best.get(scored.meant, scored), key=_score)
        return tuple(sorted(best.values(), key=_score, reverse=True))

    def near(self, nearest: tuple[Scored, ...]) -> str | None:
        """The thing among the nearest that is near, where it is clear which."""
        if not nearest or nearest[0].score < NEAR:
            return None
        return nearest[0].meant if len(nearest) == 1 or nearest[1].score <= nearest[0].score - CLEARLY else None

    @cached_property
    def _by_letters(self) -> Mapping[str, tuple[str, ...]]:
        return _gathered((folded(name.text), name.meant) for name in self._names)

    @cached_property
    def _shorts(self) -> ShortForms:
        return ShortForms(self._names)

    @cached_property
    def _by_form(self) -> Mapping[str | Forms, tuple[str, ...]]:
        return _gathered((key, name.meant) for name in self._names for key in self._keys(name.text))

    def _keys(self, text: str) -> Iterator[str | Forms]:
        """What equal names have in common: their words or forms in one, then their forms in any order."""
        words, forms, _ = written(text)
        if not forms:
            return
        forms = self._shorts.put_in(forms)
        yield "".join(words)
        yield "".join(forms)
        if _SWAP not in forms:
            yield tuple(sorted(forms))

    @cached_property
    def _near(self) -> NearWords:
        entries: dict[Entry, None] = {}
        own: dict[str, set[str]] = {}
        words: dict[str, None] = {}
        for name in self._names[:MOST_NAMES]:
            spelt, forms, _ = written(name.text)
            words.update(dict.fromkeys(spelt))
            own.setdefault(name.meant, set()).update(forms)
            for one in (forms, self._shorts.put_in(forms)):
                entries[Entry(name.meant, one)] = None
        shared = {meant: {form for one in above for form in own.get(one, ())} for meant, above in self._above.items()}
        known = (form_of(word) for text in self._prose for word in words_of(text))
        return NearWords(tuple(entries), LikeWords(words, known), self._shorts.letters.values(), shared)


def _gathered(pairs: Iterable[tuple[Key, str]]) -> dict[Key, tuple[str, ...]]:
    found: dict[Key, dict[str, None]] = {}
    for key, meant in pairs:
        found.setdefault(key, {})[meant] = None
    return {key: tuple(meant) for key, meant in found.items()}


def _score(scored: Scored) -> float:
    return scored.score
