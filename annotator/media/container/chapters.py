"""The chapters inside a recording's container, as a player lists them, and a sentence on what is not among them."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Final, NamedTuple

from av.container import InputContainer

from annotator.media.container.limits import MAX_CHAPTERS
from annotator.media.container.matroska import Atom, Edition, Editions, editions_in
from annotator.media.container.opening import exact
from annotator.media.container.sample_table import lists_of_chapters
from annotator.media.container.target import NO_CHAPTER
from annotator.model.recording import ContainerChapter
from annotator.model.timecode import LATEST, Ms, ceil_ms
from annotator.plain_text import plain

_NANOSECONDS: Final = 1_000_000_000
_ENGLISH: Final = frozenset({"en", "eng"})
"""The language that is read of several, as the vocabularies' own names are in it; by BCP 47 and ISO 639-2."""


class Chapters(NamedTuple):
    """Each chapter before those within it; `notes` say what the file holds besides, and why it was left out."""

    chapters: tuple[ContainerChapter, ...]
    notes: tuple[str, ...]


def chapters_of(path: Path, container: InputContainer, track: int, zero: Fraction, end: Ms) -> Chapters:
    """The chapters of a recording that ends at `end`, in ms from its zero (`zero`, in seconds on its own clock).

    `track` is the number that the container itself gives to its track of pictures.
    """
    notes: list[str] = []
    if container.format.name.startswith("matroska"):
        try:
            editions = editions_in(path)
        except OSError as error:
            return Chapters((), (f"Its chapters cannot be read: {plain(error.strerror or str(error))}",))
        found = _in_matroska(editions, zero, end, notes)
    else:
        found = list(_told_by_ffmpeg(container, zero))
        lists = lists_of_chapters(path, track) if container.format.name.startswith("mov") else 0
        if lists > 1:
            notes.append(f"It has {lists} lists of chapters, perhaps in several languages; they are read as one")
    kept = [one for one in found if one.title != NO_CHAPTER and 0 <= one.start <= one.end <= LATEST]
    if outside := sum(one.title != NO_CHAPTER for one in found) - len(kept):
        notes.append(f"{_counted(outside)} at an impossible time, left out")
    if len(kept) > MAX_CHAPTERS:
        notes.append(f"It contains {len(kept)} chapters; only the first {MAX_CHAPTERS} are read")
    return Chapters(tuple(kept[:MAX_CHAPTERS]), tuple(notes))


def _told_by_ffmpeg(container: InputContainer, zero: Fraction) -> Iterator[ContainerChapter]:
    """In order of time, whatever their order in the file."""
    for chapter in sorted(container.chapters(), key=lambda chapter: chapter["start"]):
        unit = exact(chapter["time_base"]) or Fraction(1)
        start, end = (ceil_ms(chapter[edge] * unit - zero) for edge in ("start", "end"))
        yield ContainerChapter(max(start, 0), end, plain(chapter["metadata"].get("title", "")))


def _in_matroska(found: Editions, zero: Fraction, end: Ms, notes: list[str]) -> list[ContainerChapter]:
    """Those of the edition that a player takes; notes on all others."""
    visible = [one for one in found.editions if not one.is_hidden]
    chosen = next((one for one in visible if one.is_default), visible[0] if visible else None)
    notes += _of_editions(found, chosen)
    if chosen is None:
        return []
    if chosen.is_ordered:
        notes.append("Its chapters tell players to jump; they are read in the order of the recording")
    reading = _Edition(zero)
    chapters = list(reading.listed(chosen.atoms, end, 0))
    notes += reading.notes()
    return chapters


def _of_editions(found: Editions, chosen: Edition | None) -> Iterator[str]:
    others = [one for one in found.editions if one is not chosen]
    left_out = sum(one.count for one in others)
    if chosen is None and left_out:
        yield f"{_counted(left_out)} hidden, left out"
    elif left_out:
        sets = f"It has {len(found.editions)} sets of chapters; the main one is read"
        yield f"{sets}, {_counted(left_out)} of the others left out"
    if not found.is_whole:
        yield "Its list of chapters is damaged or too long; only the readable part is used"


class _Edition:
    """Lists the chapters of an edition, and counts what it leaves out."""

    def __init__(self, zero: Fraction) -> None:
        self._zero = zero
        self._hidden = self._skipped = self._elsewhere = 0
        self._languages: set[str] = set()

    def listed(self, atoms: Sequence[Atom], end: Ms, level: int) -> Iterator[ContainerChapter]:
        """The chapters of one level and those within them; one without an end lasts until the next, or until `end`."""
        in_order = sorted(atoms, key=lambda atom: atom.start)
        starts = [self._time(atom.start) for atom in in_order]
        for atom, start, following in zip(in_order, starts, _later(starts, end), strict=True):
            ends = following if atom.end is None or atom.end < atom.start else self._time(atom.end)
            if atom.is_elsewhere:
                self._elsewhere += atom.count
            elif atom.is_skipped:
                self._skipped += atom.count
            elif atom.is_hidden:
                # What is within has its own say (RFC 9559, 20.2.5).
                self._hidden += 1
                yield from self.listed(atom.inside, ends, level)
            else:
                yield ContainerChapter(max(start, 0), ends, self._title(atom), level)
                yield from self.listed(atom.inside, ends, level + 1)

    def notes(self) -> Iterator[str]:
        for count, why in (
            (self._hidden, "hidden"),
            (self._skipped, "switched off"),
            (self._elsewhere, "of another file"),
        ):
            if count:
                yield f"{_counted(count)} {why}, left out"
        if self._languages:
            yield f"Titles of its chapters in other languages ({', '.join(sorted(self._languages))}), left out"

    def _time(self, nanoseconds: int) -> Ms:
        return ceil_ms(Fraction(nanoseconds, _NANOSECONDS) - self._zero)

    def _title(self, atom: Atom) -> str:
        if not atom.titles:
            return ""
        chosen = next((one for one in atom.titles if _primary(one.language) in _ENGLISH), atom.titles[0])
        others = {_primary(one.language) for one in atom.titles} - {_primary(chosen.language)}
        self._languages |= {plain(language, 20) for language in others}
        return plain(chosen.text)


def _later(starts: Sequence[Ms], end: Ms) -> list[Ms]:
    """For each of some rising times the next one that is later, else `end`."""
    found: list[Ms] = []
    for at, start in reversed(list(enumerate(starts))):
        following = starts[at + 1] if at + 1 < len(starts) else end
        found.append(following if following > start or not found else found[-1])
    return found[::-1]


def _primary(language: str) -> str:
    """The language without its script and region (RFC 5646, 2.1)."""
    return language.partition("-")[0].lower()


def _counted(chapters: int) -> str:
    return "1 chapter" if chapters == 1 else f"{chapters} chapters"
