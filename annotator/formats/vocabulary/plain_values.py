"""The values of a vocabulary's plain form, read to the end: every fault is noted, and something harmless handed out."""

import re
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from typing import TypeVar

from annotator.errors import InvalidTime
from annotator.formats.faults import LONGEST_NAME, Faults, Path, fault_of_text, short
from annotator.model.timecode import SECOND, Ms, parse, span

# RFC 3987 leaves these out of every IRI; a scheme and something behind it must be there.
_IRI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:[^\s<>\"{}|\\^`\x00-\x20]+")
# The shape of a language tag (RFC 5646, section 2.1); whether its parts are registered is not looked up.
_LANGUAGE = re.compile(r"(?:[A-Za-z]{2,8}|[xXiI](?=-))(?:-[A-Za-z0-9]{1,8})*")
# What may stand behind the # of an IRI as it is, so that a notation always makes one.
_NOTATION = re.compile(r"[^\W_](?:[\w.~-]*\w)?")

_Member = TypeVar("_Member", bound=StrEnum)


class PlainReader:
    """Reads values of a plain form, noting every fault; what it returns holds only if there was none.

    A missing value (None) is read as nothing: where it is needed, `mapping` has said so already.
    """

    def __init__(self, faults: Faults) -> None:
        self._faults = faults

    def mapping(
        self, path: Path, plain: object, what: str, keys: Sequence[str], needed: Sequence[str] = ()
    ) -> Mapping[str, object]:
        if not isinstance(plain, Mapping):
            self._faults.add(path, f"{what} is written as “name: value” pairs, the first {keys[0]}")
            return {}
        for key in plain:
            if key not in keys:
                self._faults.add((*path, short(key)), f"{what} has no “{short(key)}”", str(key), keys)
        for key in needed:
            if plain.get(key) is None:
                self._faults.add(path, f"{what} needs “{key}”")
        return plain

    def items(self, path: Path, plain: object, most: int) -> Iterator[tuple[Path, object]]:
        if plain is None:
            return
        if not isinstance(plain, list):
            self._faults.add(path, f"the {path[-1]} are written as a list, each with a dash before it")
        elif len(plain) > most:
            self._faults.add(path, f"{len(plain)} {path[-1]} are more than the {most} that are read; leave some out")
        else:
            yield from (((*path, index), item) for index, item in enumerate(plain))

    def text(self, path: Path, plain: object) -> str:
        if plain is None:
            return ""
        fault = fault_of_text(plain)
        if fault:
            self._faults.add(path, fault)
        return "" if fault else str(plain)

    def iri(self, path: Path, plain: object) -> str:
        text = self.text(path, plain)
        if text and not _IRI.fullmatch(text):
            self._faults.add(
                path, f"“{short(text)}” is not an IRI; write one such as https://department.example/vocab/ours"
            )
        return text

    def notation(self, path: Path, plain: object) -> str:
        text = self.text(path, plain)
        if text and (len(text) > LONGEST_NAME or not _NOTATION.fullmatch(text)):
            self._faults.add(
                path,
                f"“{short(text)}” is not a short name; use letters, digits and hyphens, such as base-shaving",
            )
        return text

    def notations(self, path: Path, plain: object) -> tuple[str, ...]:
        if plain is None:
            return ()
        if not isinstance(plain, list):
            self._faults.add(path, "this must be a list of notations, such as [core-vitrectomy, base-shaving]")
            return ()
        return tuple(self.notation((*path, index), _there(item)) for index, item in enumerate(plain))

    def listed_texts(self, path: Path, plain: object) -> tuple[str, ...]:
        if plain is not None and not isinstance(plain, list):
            self._faults.add(path, "this must be a list of texts, such as [posterior, 4-6 mid-periphery]")
            return ()
        return tuple(self.text((*path, index), _there(item)) for index, item in enumerate(plain or ()))

    def member(self, path: Path, plain: object, of: type[_Member]) -> _Member | None:
        text = self.text(path, plain)
        known = tuple(of)
        if text and text not in known:
            self._faults.add(path, f"“{short(text)}” is not one of {', '.join(known)}", text, known)
            return None
        return of(text) if text else None

    def length(self, path: Path, plain: object) -> Ms | None:
        """A length of time in ms, as `print_length` prints it."""
        text = self.text(path, plain)
        try:
            return parse(text) if text else None
        except InvalidTime:
            self._faults.add(path, f"“{short(text)}” is not a length of time; write M:SS or H:MM:SS, such as 0:20")
            return None

    def flag(self, path: Path, plain: object) -> bool:
        if plain is not None and not isinstance(plain, bool):
            self._faults.add(path, f"“{short(plain)}” is neither true nor false")
        return plain is True

    def _by_language(self, path: Path, plain: object, example: str) -> Iterator[tuple[str, object]]:
        if plain is None:
            return
        if not isinstance(plain, Mapping) or not plain:
            self._faults.add(path, f"this must be given by language, such as {example}")
            return
        spelled: dict[str, str] = {}
        for language, value in plain.items():
            if not isinstance(language, str) or not _LANGUAGE.fullmatch(language):
                self._faults.add(path, f"“{short(language)}” is not a language tag; write one such as en or de-AT")
            elif spelled.setdefault(language.lower(), language) != language:
                self._faults.add(path, f"“{spelled[language.lower()]}” and “{language}” are one language (SKOS S14)")
            else:
                yield language, _there(value)

    def texts(self, path: Path, plain: object) -> Mapping[str, str]:
        said = self._by_language(path, plain, "{en: Core vitrectomy}")
        return {language: self.text((*path, language), text) for language, text in said}

    def synonyms(self, path: Path, plain: object) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for language, texts in self._by_language(path, plain, "{en: [core, central vitrectomy]}"):
            if isinstance(texts, list):
                places = (((*path, language, index), _there(text)) for index, text in enumerate(texts))
                found[language] = tuple(self.text(place, text) for place, text in places)
            else:
                self._faults.add((*path, language), "synonyms must be a list, such as [core, central vitrectomy]")
        return found


def print_length(length: Ms) -> str:
    """A length of time as it stands in a vocabulary: `0:20`, `1:05:00`, `0:01.500`."""
    seconds, thousandths = divmod(length, SECOND)
    return span(seconds * SECOND) + (f".{thousandths:03d}" if thousandths else "")


def _there(value: object) -> object:
    """A value inside a list or a mapping: None there is no leaving out, but a fault."""
    return "" if value is None else value
