"""Things of a list that have a code, labels and synonyms by language: roles, facts and the values of facts."""

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from annotator.errors import FEW_NAMES, UnknownName, nearest
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in


class Named(msgspec.Struct, frozen=True):
    """Something that answers to names.

    `code` is what cases and tables say, unique in its list. Labels and synonyms are by language tag."""

    code: str
    label: Mapping[str, str]
    synonyms: Mapping[str, tuple[str, ...]] = {}

    def called(self, language: str = DEFAULT_LANGUAGE) -> str:
        """The label in a language, else in English, else in any."""
        return label_in(self.label, language) or self.code

    def names(self) -> Iterator[str]:
        """Everything that this answers to."""
        yield self.code
        yield from self.label.values()
        for synonyms in self.synonyms.values():
            yield from synonyms


def unknown(kind: str, words: str, listed: Iterable[Named]) -> UnknownName:
    """The error for words that mean none of a list; it tells as many codes as are told, the nearest first."""
    return UnknownName(kind, words, _nearest_first(words, listed), lambda: ())


def _nearest_first(words: str, listed: Iterable[Named]) -> Iterator[str]:
    by_name = {name: one.code for one in listed for name in one.names()}
    near = [by_name[name] for name in nearest(words, by_name)]
    yield from list(dict.fromkeys([*near, *by_name.values()]))[:FEW_NAMES]
