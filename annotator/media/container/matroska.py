"""The chapters inside a Matroska or WebM file, as they are written there, read with bounds (RFC 9559, 5.1.7).

FFmpeg hands on only those of the first level, of all editions together, hidden ones too, and each with the last of
its titles. Nothing but the list of chapters is read here, however large the file is.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple

from annotator.media.container.ebml import Element, element_at, number_in, text_in

_SEGMENT: Final = 0x18538067
_SEEK_HEAD, _SEEK, _SEEK_ID, _SEEK_POSITION = 0x114D9B74, 0x4DBB, 0x53AB, 0x53AC
_CLUSTER: Final = 0x1F43B675
_CHAPTERS: Final = 0x1043A770
_EDITION, _EDITION_HIDDEN, _EDITION_DEFAULT, _EDITION_ORDERED = 0x45B9, 0x45BD, 0x45DB, 0x45DD
_ATOM, _START, _END, _ATOM_HIDDEN, _ATOM_ENABLED, _OTHER_SEGMENT = 0xB6, 0x91, 0x92, 0x98, 0x4598, 0x6E67
_DISPLAY, _TITLE, _LANGUAGE, _LANGUAGE_BCP47 = 0x80, 0x85, 0x437C, 0x437D

_TEXTS: Final = frozenset({_TITLE, _LANGUAGE, _LANGUAGE_BCP47})
_MASTERS: Final = frozenset({_EDITION, _ATOM, _DISPLAY})
"""Those that hold others."""

_USUAL_LANGUAGE: Final = "eng"
"""Of a title that tells none (RFC 9559, 5.1.7.1.4.11)."""

_MOST_BYTES: Final = 16 * 2**20
_MOST_ELEMENTS: Final = 50_000
_MOST_TEXT_BYTES: Final = 10_000
_DEEPEST: Final = 20
"""Levels of chapters within chapters."""

_MOST_AHEAD: Final = 1_000
"""Elements looked at before the pictures begin."""


class Title(NamedTuple):
    """A chapter's title and its language, by BCP 47 or ISO 639-2."""

    text: str
    language: str


@dataclass(frozen=True)
class Atom:
    """A chapter and those within it; times in ns on the container's clock, `end` None where none is told.

    is_skipped    players pass over what is in it
    is_elsewhere  it is a part of another file
    """

    start: int
    end: int | None
    titles: tuple[Title, ...]
    is_hidden: bool
    is_skipped: bool
    is_elsewhere: bool
    inside: tuple["Atom", ...]

    @property
    def count(self) -> int:
        """With all within it."""
        return 1 + sum(one.count for one in self.inside)


@dataclass(frozen=True)
class Edition:
    """One of several sets of chapters; the chapters of one that `is_ordered` tell how a player should jump."""

    is_hidden: bool
    is_default: bool
    is_ordered: bool
    atoms: tuple[Atom, ...]

    @property
    def count(self) -> int:
        return sum(one.count for one in self.atoms)


class Editions(NamedTuple):
    """What was found; `is_whole` tells whether all of the list could be read."""

    editions: tuple[Edition, ...]
    is_whole: bool


def editions_in(path: Path) -> Editions:
    """The editions of a Matroska file, none where it has no chapters; OSError where it cannot be read."""
    with path.open("rb") as file:
        place = _chapters_of(file, path.stat().st_size)
        if place is None:
            return Editions((), True)
        file.seek(place.start)
        content = file.read(min(place.end - place.start, _MOST_BYTES))
    reading = _Reading(content)
    whole = place.end - place.start == len(content)
    editions = tuple(reading.edition(one) for one in reading.elements(0, len(content)) if one.kind == _EDITION)
    return Editions(editions, whole and not reading.is_broken)


def _chapters_of(file: BinaryIO, size: int) -> Element | None:
    """The list of chapters: before the pictures, or where a list of contents says that it is."""
    header = element_at(file, 0, size)
    segment = header and element_at(file, header.end, size)
    if segment is None or segment.kind != _SEGMENT:
        return None
    ahead = list(_ahead(file, segment.start, min(segment.end, size)))
    told = [segment.start + at for one in ahead if one.kind == _SEEK_HEAD for at in _places_told(file, one)]
    further = (element_at(file, at, size) for at in told if at < size)
    return next((one for one in (*ahead, *further) if one is not None and one.kind == _CHAPTERS), None)


def _ahead(file: BinaryIO, at: int, limit: int) -> Iterator[Element]:
    """The elements from `at` on, up to the first cluster of pictures."""
    for _ in range(_MOST_AHEAD):
        element = element_at(file, at, limit)
        if element is None or element.kind == _CLUSTER:
            return
        yield element
        at = element.end


def _places_told(file: BinaryIO, head: Element) -> Iterator[int]:
    """Where, counted from the segment's content, a list of contents says that chapters are."""
    file.seek(head.start)
    reading = _Reading(file.read(min(head.end - head.start, _MOST_BYTES)))
    for seek in reading.children(None):
        told = {one.kind: one for one in reading.children(seek)} if seek.kind == _SEEK else {}
        if _SEEK_POSITION in told and _SEEK_ID in told and reading.number(told[_SEEK_ID]) == _CHAPTERS:
            yield reading.number(told[_SEEK_POSITION])


class _Reading:
    """A list of elements in memory; whatever cannot be read in it is left out, and `is_broken` tells."""

    def __init__(self, content: bytes) -> None:
        self._content = BytesIO(content)
        self._size = len(content)
        self._left = _MOST_ELEMENTS
        self.is_broken = False

    def elements(self, start: int, end: int) -> Iterator[Element]:
        at = start
        while at < end:
            element = element_at(self._content, at, end)
            self._left -= 1
            if element is None or element.end <= at or self._left < 0:
                self.is_broken = True
                return
            if element.end > end:
                self.is_broken = True
                if element.kind in _MASTERS:
                    yield element._replace(end=end)
                return
            yield element
            at = element.end

    def children(self, parent: Element | None) -> Iterator[Element]:
        return self.elements(0, self._size) if parent is None else self.elements(parent.start, parent.end)

    def number(self, element: Element) -> int:
        number = number_in(self._raw(element))
        self.is_broken = self.is_broken or number is None
        return number or 0

    def text(self, element: Element) -> str:
        return text_in(self._raw(element))

    def _raw(self, element: Element) -> bytes:
        self._content.seek(element.start)
        return self._content.read(min(element.end - element.start, _MOST_TEXT_BYTES))

    def edition(self, element: Element) -> Edition:
        numbers = {_EDITION_HIDDEN: 0, _EDITION_DEFAULT: 0, _EDITION_ORDERED: 0}
        atoms: list[Atom] = []
        for one in self.children(element):
            if one.kind in numbers:
                numbers[one.kind] = self.number(one)
            elif one.kind == _ATOM:
                atoms.append(self._atom(one, 1))
        return Edition(
            is_hidden=bool(numbers[_EDITION_HIDDEN]),
            is_default=bool(numbers[_EDITION_DEFAULT]),
            is_ordered=bool(numbers[_EDITION_ORDERED]),
            atoms=tuple(atoms),
        )

    def _atom(self, element: Element, level: int) -> Atom:
        numbers: dict[int, int | None] = {_START: 0, _END: None, _ATOM_HIDDEN: 0, _ATOM_ENABLED: 1}
        titles: list[Title] = []
        inside: list[Atom] = []
        is_elsewhere = False
        for one in self.children(element):
            if one.kind in numbers:
                numbers[one.kind] = self.number(one)
            elif one.kind == _DISPLAY:
                titles.append(self._title(one))
            elif one.kind == _ATOM and level < _DEEPEST:
                inside.append(self._atom(one, level + 1))
            elif one.kind == _ATOM:
                self.is_broken = True
            is_elsewhere = is_elsewhere or one.kind == _OTHER_SEGMENT
        return Atom(
            start=numbers[_START] or 0,
            end=numbers[_END],
            titles=tuple(titles),
            is_hidden=bool(numbers[_ATOM_HIDDEN]),
            is_skipped=not numbers[_ATOM_ENABLED],
            is_elsewhere=is_elsewhere,
            inside=tuple(inside),
        )

    def _title(self, element: Element) -> Title:
        texts = {one.kind: self.text(one) for one in self.children(element) if one.kind in _TEXTS}
        language = texts.get(_LANGUAGE_BCP47) or texts.get(_LANGUAGE) or _USUAL_LANGUAGE
        return Title(texts.get(_TITLE, ""), language)
