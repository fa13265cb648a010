"""The plain form of things that answer to names: code, prefLabel {en: …}, altLabel {en: [… , …]}."""

from collections.abc import Mapping, Sequence
from typing import Any

from annotator.formats.faults import LONGEST_NAME, Faults, Path, short
from annotator.formats.vocabulary.plain_values import PlainReader
from annotator.model.named import Named
from annotator.model.words.forms import folded

KEYS = ("code", "prefLabel", "altLabel")
_MOST_NAMES = 50
"""Names of one thing."""


def to_plain(named: Named) -> dict[str, Any]:
    """The names, as dicts, lists and texts."""
    return {
        "code": named.code,
        "prefLabel": dict(named.label),
        "altLabel": {language: list(texts) for language, texts in named.synonyms.items()},
    }


class NamedReader(PlainReader):
    """Reads what answers to names, and whole numbers that may be written as texts."""

    def named(self, path: Path, said: Mapping[str, object]) -> Named:
        """The names of one thing, each a name and not endless."""
        named = Named(
            code=self.text((*path, "code"), said.get("code")),
            label=self.texts((*path, "prefLabel"), said.get("prefLabel")),
            synonyms=self.synonyms((*path, "altLabel"), said.get("altLabel")),
        )
        names = list(named.names())
        for name in names:
            if len(name) > LONGEST_NAME or " ".join(name.split()) != name:
                self._faults.add(
                    path, f"“{short(name)}” is no name: up to {LONGEST_NAME} characters with single blanks"
                )
        if len(names) > _MOST_NAMES:
            self._faults.add(path, f"{len(names)} names are more than the {_MOST_NAMES} that are read")
        return named

    def whole(self, path: Path, plain: object, most: int, unsaid: int = 0) -> int:
        """A number, or the text of one: YAML is read as texts."""
        text = str(unsaid if plain is None else plain)
        is_number = isinstance(plain, int | str | None) and not isinstance(plain, bool) and text.isdecimal()
        if not is_number or len(text) > len(str(most)) or int(text) > most:
            self._faults.add(path, f"“{short(plain)}” is not a whole number from 0 to {most}")
            return unsaid
        return int(text)


def note_doubles(faults: Faults, path: Path, listed: Sequence[Named], taken: Mapping[str, str]) -> None:
    """Note each code that is listed twice, and each name that means two of a list; `taken` says what others mean."""
    meant = {folded(name): says for name, says in taken.items()}
    codes: set[str] = set()
    for index, one in enumerate(listed):
        if one.code in codes:
            faults.add((*path, index, "code"), f"“{short(one.code)}” is listed twice; list it once")
            continue
        codes.add(one.code)
        own = f"“{short(one.code)}” already"
        for name in one.names():
            other = meant.setdefault(folded(name), own)
            if other != own:
                faults.add((*path, index), f"“{short(name)}” means {other}; give each names of its own")
