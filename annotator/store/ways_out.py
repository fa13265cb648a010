"""The gate for every way out: what may be written over. Asked before work begins, and again as a file takes its place.

Nothing is ever written over a case or what stands beside one, over a recording that a case names, or over a file of
another kind than is written. What an earlier run wrote is replaced; another file of the same kind, and any recording,
only where that is asked for. A file of no bytes holds nothing to lose.
"""

import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from annotator.durable import why
from annotator.errors import InvalidFile, StoreError
from annotator.formats.case import casefile
from annotator.formats.case import recordings as casefile_recordings
from annotator.model.recording import ENDINGS, OTHER_ENDINGS
from annotator.store.atomic import write_atomically
from annotator.store.files import read_bounded
from annotator.store.reading import CASE_ENDING, journal_path, read_case
from annotator.store.recordings import NamedRecordings

CASE_ENDINGS = (".jsonld", ".json")
"""Of the files that may be cases, in the folders that are looked through."""

MOST_ENTRIES = 20_000
"""Files and folders of a folder that are looked through for cases."""

MOST_CASES = 500
"""Cases that are read to learn which recordings they name."""

HEAD = 64 * 1024
"""Bytes from which it is told what a file is."""

_OF_RECORDINGS = {*ENDINGS, *OTHER_ENDINGS}
_BESIDE_A_CASE = re.compile(
    r"\..+\.(journal|lock|holder)|.+\.previous|.+\.stray-changes-\d+|.+\.scores\.csv", re.IGNORECASE
)
"""Names that the program keeps for itself; `store.reading`, `lock`, `recovery` and `scores` give them."""


class Kind(NamedTuple):
    """What is written.

    name     for a sentence: “a chapter file”
    endings  of the names of such files; the first is the one to propose
    is_like  whether a file is of this kind, judged by its content
    is_own   whether such a file is what an earlier run wrote, and so may be replaced unasked
    """

    name: str
    endings: tuple[str, ...]
    is_like: Callable[[Path], bool]
    is_own: Callable[[Path], bool]


CASE = Kind("a case", (CASE_ENDING, *CASE_ENDINGS), lambda _path: False, lambda _path: False)
"""A new one, that never takes the place of anything; `Session.create` writes it."""


class WayOut(NamedTuple):
    """A file to write.

    path     may be a link; what it points to counts
    kind     what is written there
    beside   the case that it is made from, whose folder is looked through too
    replace  whether another file of this kind may give way
    sources  the recordings that it is made from
    """

    path: Path
    kind: Kind
    beside: Path | None = None
    replace: bool = False
    sources: tuple[Path, ...] = ()

    def check(self) -> None:
        """Raises StoreError, with what to try, where the file may not be written."""
        check([self])

    def write(self, data: bytes) -> None:
        """Write the file whole, on disk before this returns. Raises StoreError; what was there is then as it was."""
        self.check()
        write_atomically(self.path, data)


def check(ways: Iterable[WayOut]) -> None:
    """Raises StoreError for the first of several files that may not be written. Each case nearby is read once."""
    near = cache(_Near)
    for way in ways:
        target = Path(os.path.realpath(way.path))
        _refuse_name(way, target)
        if any(_is_same(source, target) for source in way.sources):
            raise StoreError(f"{way.path} is the recording itself, and is never overwritten; name another file")
        neighbours = near(target.parent, way.beside) if _may_be_a_recording(way.kind) else None
        if neighbours is not None and (case := neighbours.naming(target)):
            raise StoreError(
                f"{way.path} is a recording that {case.name} refers to, and is never overwritten; name another file"
            )
        found = _stat(way, target)
        if found is None:
            _refuse_ending(way)
        else:
            _refuse_content(way, target, found)
            if neighbours is not None and found.st_size:
                neighbours.refuse_unread(way.path)


def head_of(path: Path) -> bytes:
    """The first bytes of a file. Raises StoreError."""
    try:
        with path.open("rb") as file:
            return file.read(HEAD)
    except OSError as error:
        raise StoreError(f"{path} can't be read: {error.strerror or error}; name another file") from error


def is_text(head: bytes) -> bool:
    """Whether a file that begins so is text in UTF-8; the last character may be cut."""
    if b"\0" in head:
        return False
    try:
        head.decode()
    except UnicodeDecodeError as error:
        return len(head) == HEAD and error.start >= HEAD - 3
    return True


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False


def _may_be_a_recording(kind: Kind) -> bool:
    return bool(_OF_RECORDINGS.intersection(kind.endings))


def _refuse_name(way: WayOut, target: Path) -> None:
    """A name that says that something else stands there, or will."""
    for path in (way.path, target):
        ending = path.suffix.lower()
        if _BESIDE_A_CASE.fullmatch(path.name):
            raise StoreError(f"{way.path} is a name reserved for files beside a case; name another file")
        is_of_recordings = ending in _OF_RECORDINGS and not _may_be_a_recording(way.kind)
        if is_of_recordings or (ending == CASE_ENDINGS[0] and ending not in way.kind.endings):
            what = "a recording" if is_of_recordings else "a case"
            raise StoreError(
                f"{way.path} ends like {what}, but this is {way.kind.name}; "
                f"name a file that ends in {way.kind.endings[0]}"
            )


def _refuse_ending(way: WayOut) -> None:
    """A new file whose name promises another kind, or none: nobody could open it by its name."""
    if way.path.suffix.lower() not in way.kind.endings:
        raise StoreError(
            f"{way.path} can't be written: {way.kind.name} needs a name that ends in {way.kind.endings[0]}"
        )


def _stat(way: WayOut, target: Path) -> os.stat_result | None:
    """None where there is nothing yet. Raises StoreError where that can't be told.

    What a link under /proc leads to, such as a pipe, has no path of its own: it is found by the link alone.
    """
    for path in (target, way.path):
        try:
            return path.stat()
        except (FileNotFoundError, NotADirectoryError):
            continue
        except OSError as error:
            raise StoreError(f"{way.path} can't be written: {why(error)}") from error
    return None


def _refuse_content(way: WayOut, target: Path, found: os.stat_result) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise StoreError(f"{way.path} is a folder; name a file to write")
    if not stat.S_ISREG(found.st_mode):
        raise StoreError(f"{way.path} is a device or a pipe; name a file to write")
    if not found.st_size:
        return
    if is_case(target):
        raise StoreError(f"{way.path} is a case, and cases are never overwritten; name another file")
    if not way.kind.is_like(target):
        raise StoreError(f"{way.path} already exists and is not {way.kind.name}; name another file")
    if not way.replace and not way.kind.is_own(target):
        other = "" if _may_be_a_recording(way.kind) else " and was not written by this program"
        raise StoreError(f"{way.path} already exists{other}; name another file, or replace it with --replace")


def is_case(path: Path) -> bool:
    """Whether a file is a case, sound or damaged. Raises StoreError where it can't be read."""
    head = head_of(path)
    if not is_text(head):
        return False
    if casefile_recordings.is_of_case(head):
        return True
    if not head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{") or len(head) < HEAD:
        return False
    # What the head does not say may stand further on: a key may stand anywhere in JSON.
    try:
        return casefile_recordings.loads(read_bounded(path, casefile.LARGEST)) is not None
    except InvalidFile:
        return False


class _Near:
    """The cases in a folder, in the one above it and in that of the case at hand, and the recordings they name."""

    def __init__(self, folder: Path, beside: Path | None) -> None:
        self._unread = ""
        self._named = NamedRecordings()
        at_hand = None if beside is None else Path(os.path.realpath(beside))
        folders = dict.fromkeys([folder, folder.parent, *([at_hand.parent] if at_hand else [])])
        first = [at_hand] if at_hand and at_hand.is_file() else []
        read = 0
        for path in dict.fromkeys([*first, *self._files(folders)]):
            if read >= MOST_CASES:
                self._unread = f"there are more than {MOST_CASES} cases near it"
                break
            read += self._take(path)

    def naming(self, target: Path) -> Path | None:
        """The case that names a file as one of its recordings, by place or by content."""
        return self._named.case_naming(target)

    def refuse_unread(self, path: Path) -> None:
        """Raises StoreError where not every case could be asked."""
        if self._unread:
            raise StoreError(f"{path} may be a recording of a case: {self._unread}; name another file")

    def _files(self, folders: Iterable[Path]) -> Iterator[Path]:
        for folder in folders:
            try:
                with os.scandir(folder) as entries:
                    for number, entry in enumerate(entries):
                        if number >= MOST_ENTRIES:
                            self._unread = f"{folder} contains more than {MOST_ENTRIES} files"
                            break
                        if entry.name.lower().endswith(CASE_ENDINGS) and entry.is_file():
                            yield Path(os.path.realpath(entry))
            except OSError:
                continue  # a folder that can't be listed is not where anybody keeps cases

    def _take(self, path: Path) -> bool:
        """Read what a file names, if it is a case; whether it is one."""
        try:
            if not casefile_recordings.is_of_case(head_of(path)) and not path.name.lower().endswith(CASE_ENDING):
                return False
            if journal_path(path).exists():
                recordings = read_case(path).case.recordings
            else:
                recordings = casefile_recordings.loads(read_bounded(path, casefile.LARGEST)) or ()
        except (StoreError, InvalidFile):
            self._unread = f"{path} can't be read"
        else:
            self._named.add(recordings, path)
        return True
