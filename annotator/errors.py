"""The errors that a user can meet: one base, narrow children, the datum kept as an attribute.

The core raises; only the edge (command line, window) turns an error into a sentence on screen.
Every message says what is wrong, where, and what to try.
"""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches


class AnnotatorError(Exception):
    """Base of every error that is shown to a user as a sentence."""


class InvalidTime(AnnotatorError, ValueError):
    """A text or number that is no time on a case's clock."""

    def __init__(self, text: str, why: str = "") -> None:
        self.text = text
        reason = f": {why}" if why else ""
        super().__init__(f"“{text}” is not a time{reason}; write H:MM:SS.mmm, MM:SS or seconds, such as 0:12:05.480")


class InvalidEdit(AnnotatorError, ValueError):
    """A change that would leave the case in a state it may not have."""


class UnknownName(AnnotatorError, LookupError):
    """A name that nothing answers to; carries the nearest known ones."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind = kind
        self.name = name
        self.nearest = nearest(name, known)
        hint = f"; did you mean {listed(self.nearest)}?" if self.nearest else ""
        super().__init__(f"There is no {kind} “{name}”{hint}")


class AmbiguousName(AnnotatorError, LookupError):
    """A name that several concepts answer to."""

    def __init__(self, kind: str, name: str, candidates: Sequence[str]) -> None:
        self.kind = kind
        self.name = name
        self.candidates = tuple(candidates)
        super().__init__(f"“{name}” may mean {listed(candidates)}; write one of these notations instead")


class InvalidFile(AnnotatorError, ValueError):
    """A file or text that does not hold what it should; collects every fault found, each with its place."""

    def __init__(self, what: str, faults: Sequence[str]) -> None:
        self.what = what
        self.faults = tuple(faults)
        super().__init__(f"{what}: {faults[0]}" if len(faults) == 1 else "\n  ".join([what, *faults]))


class InvalidVocabulary(InvalidFile):
    """A vocabulary whose text was read, but which says what no vocabulary may say."""


class NewerSchema(InvalidFile):
    """A file written by a later version of the program."""


class MediaError(AnnotatorError, OSError):
    """A recording that cannot be opened, read or written."""


class StoreError(AnnotatorError, OSError):
    """A case that could not be read from or written to disk."""


class CaseBusy(StoreError):
    """The case is open for changing already; carries who holds it, and whether that is this very process."""

    def __init__(self, path: str, holder: str, is_here: bool = False) -> None:
        self.path = path
        self.holder = holder
        self.is_here = is_here
        where = "in this program already" if is_here else f"elsewhere ({holder})"
        super().__init__(f"{path} is open {where}; close it there, or read it without changing it")


class ChangedOutside(StoreError):
    """Another program has put something else in the place of an open case; what was done here is not lost.

    `is_gone` tells that nothing is there any more.
    """

    def __init__(self, path: str, is_gone: bool) -> None:
        self.path = path
        self.is_gone = is_gone
        what = "is no longer there: it was deleted, moved or renamed" if is_gone else "was changed by another program"
        super().__init__(f"{path} {what} while it was open here")


class Cancelled(AnnotatorError):
    """Long work was stopped by the user; nothing half-written is left."""


def nearest(name: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """The known names closest to `name` in spelling, best first, letter case ignored."""
    by_folded = {candidate.casefold(): candidate for candidate in known}
    return tuple(by_folded[match] for match in get_close_matches(name.casefold(), by_folded, n=most, cutoff=0.6))


def listed(names: Sequence[str]) -> str:
    """Names as a phrase: “a”, “b” or “c”."""
    quoted = [f"“{name}”" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
