"""The errors that a user can meet: one base, narrow children, the datum kept as an attribute.

The core raises; only the edge (command line, window) turns an error into a sentence on screen.
Every message says what is wrong, where, and what to try. What it quotes may come from a stranger's file: whatever
that holds, a message is harmless to what shows it, and not endless.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property, partial
from itertools import islice

from annotator.plain_text import plain, quoted

MOST_FAULTS = 50
"""Faults of one file that are told; whoever has mended so many will look again."""

LONGEST_SENTENCE = 5_000
"""Characters; the longest path of any system fits."""

LONGEST_NAME = 100
"""Characters of a name that others are compared with."""

SHORTEST_BEGINNING = 3
"""Characters from which on the beginning of a word tells what is meant."""

FEW_NAMES = 12
"""Names that are all told where none is near."""

MOST_NAMES = 5_000
"""Names that one is compared with."""


class AnnotatorError(Exception):
    """Base of every error that is shown to a user: a sentence on one line, and below it any further lines."""

    def __init__(self, says: str = "", *below: str) -> None:
        super().__init__("\n  ".join(plain(line, LONGEST_SENTENCE) for line in (says, *below)))


class InvalidTime(AnnotatorError, ValueError):
    """A text or number that is no time on a case's clock."""

    def __init__(self, text: str, why: str = "") -> None:
        self.text = text
        reason = f": {why}" if why else ""
        super().__init__(
            f"{quoted(text)} is not a time{reason}; write H:MM:SS.mmm, MM:SS or seconds, such as 0:12:05.480"
        )


class InvalidEdit(AnnotatorError, ValueError):
    """A change that would leave the case in a state it may not have."""


class UnknownName(AnnotatorError, LookupError):
    """A name that nothing answers to; carries the nearest known ones, looked for once somebody asks.

    `find_nearest` knows better than by spelling which are near.
    """

    def __init__(
        self, kind: str, name: str, known: Iterable[str], find_nearest: Callable[[], Sequence[str]] | None = None
    ) -> None:
        self.kind = kind
        self.name = name
        self._given = known
        self._find_nearest = find_nearest
        super().__init__(f"There is no {plain(kind)} {quoted(name)}")

    @cached_property
    def _known(self) -> tuple[str, ...]:
        return tuple(islice(self._given, MOST_NAMES))

    @cached_property
    def nearest(self) -> tuple[str, ...]:
        return nearest(self.name, self._known) if self._find_nearest is None else tuple(self._find_nearest())

    def __str__(self) -> str:
        says = super().__str__()
        if self.nearest:
            return f"{says}; did you mean {listed(self.nearest)}?"
        few = 0 < len(self._known) <= FEW_NAMES
        return f"{says}; available: {listed(self._known, 'and')}" if few else says


class AmbiguousName(AnnotatorError, LookupError):
    """A name that several concepts answer to."""

    def __init__(self, kind: str, name: str, candidates: Sequence[str]) -> None:
        self.kind = kind
        self.name = name
        self.candidates = tuple(candidates)
        super().__init__(f"{quoted(name)} can mean {listed(candidates)}; use one of these notations instead")


class InvalidFile(AnnotatorError, ValueError):
    """A file or text that does not hold what it should; tells the faults found, each with its place.

    Of many, `faults` holds the first, and `more` is how many others there are.
    """

    def __init__(self, what: str, faults: Sequence[str], more: int = 0) -> None:
        self.what = what
        self.faults = tuple(faults[:MOST_FAULTS])
        self.more = more + len(faults) - len(self.faults)
        if len(faults) == 1 and not more:
            super().__init__(f"{what}: {faults[0]}")
        else:
            super().__init__(what, *told(self.faults, self.more))

    def in_short(self, most: int) -> str:
        """The message with at most so many of the faults, for where there is little room."""
        return str(InvalidFile(self.what, self.faults[:most], self.more + len(self.faults[most:])))


class InvalidVocabulary(InvalidFile):
    """A vocabulary whose text was read, but which says what no vocabulary may say."""


class NewerSchema(InvalidFile):
    """A file written by a later version of the program."""


class MediaError(AnnotatorError, OSError):
    """A recording that cannot be opened, read or written."""


class StoreError(AnnotatorError, OSError):
    """A case that could not be read from or written to disk."""


class NotSaved(StoreError):
    """The case file could not be written anew; every change is kept in the journal beside it, and nothing is lost."""


class CaseBusy(StoreError):
    """The case is open for changing already; carries who holds it, and whether that is this very process."""

    def __init__(self, path: str, holder: str, is_here: bool = False) -> None:
        self.path = path
        self.holder = holder
        self.is_here = is_here
        where = "in this program" if is_here else f"elsewhere ({holder})"
        super().__init__(f"{path} is open {where}; close it there and try again")


class ChangedOutside(StoreError):
    """Another program has put something else in the place of an open case; what was done here is not lost.

    `is_gone` tells that nothing is there any more.
    """

    def __init__(self, path: str, is_gone: bool) -> None:
        self.path = path
        self.is_gone = is_gone
        what = "is gone: it was deleted, moved or renamed" if is_gone else "was changed by another program"
        super().__init__(f"{path} {what} while it was open here")


class Cancelled(AnnotatorError):
    """Long work was stopped by the user; nothing half-written is left."""


class Gathered:
    """Faults as they are found: the first are kept as sentences, the others only counted."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.more = 0

    def note(self, says: Callable[[], str]) -> None:
        """Take in one more; its sentence is only made where it will be told."""
        if len(self.said) < MOST_FAULTS:
            self.said.append(says())
        else:
            self.more += 1

    def join(self, said: Sequence[str], more: int) -> None:
        """Take in those that were gathered elsewhere."""
        for one in said:
            self.note(partial(str, one))
        self.more += more

    @property
    def count(self) -> int:
        return len(self.said) + self.more

    @property
    def lines(self) -> tuple[str, ...]:
        """What is told, and how many others there are."""
        return told(self.said, self.more)


def told(sentences: Sequence[str], more: int = 0, most: int = MOST_FAULTS) -> tuple[str, ...]:
    """The first of many sentences, and how many others there are, `more` beside those given."""
    first = sentences[:most]
    others = more + len(sentences) - len(first)
    return (*first, f"and {others:,} more") if others else tuple(first)


def nearest(name: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """The known names closest to `name`, best first, letter case ignored; none for an endless name.

    Those of which a word begins so come before those that are spelt much alike: people shorten.
    """
    if len(name) > LONGEST_NAME:
        return ()
    from difflib import get_close_matches  # most starts of the program need no near names

    by_folded = {one.casefold(): one for one in islice(known, MOST_NAMES) if len(one) <= LONGEST_NAME}
    typed = name.casefold()
    begun = [one for one in by_folded if f" {typed}" in f" {one}"] if len(typed) >= SHORTEST_BEGINNING else []
    alike = get_close_matches(typed, by_folded, n=most, cutoff=0.6)
    return tuple(by_folded[match] for match in dict.fromkeys([*sorted(begun, key=len), *alike]))[:most]


def listed(names: Sequence[str], word: str = "or") -> str:
    """Names as a phrase: “a”, “b” or “c”."""
    each = [quoted(name) for name in names]
    return each[0] if len(each) == 1 else f"{', '.join(each[:-1])} {word} {each[-1]}"
