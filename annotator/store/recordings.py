"""Find a case's recordings on this machine: where they were left, or by their content where they were moved."""

import os
import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import Literal, NamedTuple

from msgspec.structs import replace

from annotator.errors import StoreError
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.progress import Progress, silent
from annotator.store.fingerprint import fingerprint, size_in

State = Literal["as left", "moved", "changed", "missing", "unknown"]

DEEPEST = 3
"""Levels of folders below each that is searched."""

MOST_ENTRIES = 20_000
"""Files and folders looked at in one search, so that a search of a whole disk ends."""

MOST_READ = 200
"""Files of the right size of which a fingerprint is made in one search."""

_Entry = tuple[Path, int | None]
"""A file and its size, or a folder."""

# A scheme of two letters and more: a single one is a drive on Windows.
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:")


class Located(NamedTuple):
    """Where a recording is, and whether it is the one that was tagged.

    recording  its place in the case, from 0
    path       None where it is missing; of a changed one, where the changed file is
    state      `unknown` where there is a file, but the case does not say, or not as we know it, what its content was
    content    fingerprint that the file has now; empty where it is missing or changed
    """

    recording: int
    path: Path | None
    state: State
    content: str = ""


def locate(case: Case, case_path: Path, folders: Sequence[Path] = (), progress: Progress = silent) -> list[Located]:
    """Each recording of the case, in order.

    A recording that is not where it was left, or not as it was, is looked for by its content beside the case and in
    `folders`, those first, three levels deep. Only plain files are opened, and only read. `progress` counts the files
    and folders looked at, of as many as are looked at at most.
    """
    folder = Path(os.path.realpath(case_path)).parent
    left = [_as_left(index, recording, folder) for index, recording in enumerate(case.recordings)]
    sought = {one.fingerprint for one, there in zip(case.recordings, left, strict=True) if not there.content}
    moved = _search([*folders, folder], sought - {""}, progress) if sought - {""} else {}
    return [
        there if there.content or one.fingerprint not in moved else _moved(there, moved[one.fingerprint], one)
        for one, there in zip(case.recordings, left, strict=True)
    ]


def path_to_keep(recording: Path, case_path: Path) -> str:
    """How a recording's path is written in a case file: from the case's folder where there is a way, else in full.

    Always with forward slashes, so that a folder with a case and its recordings can be carried to any system.
    """
    target, folder = Path(os.path.realpath(recording)), Path(os.path.realpath(case_path)).parent
    try:
        return Path(os.path.relpath(target, folder)).as_posix()
    except ValueError:  # on another drive, on Windows
        return target.as_posix()


class NamedRecordings:
    """The recordings that cases name, to ask of one file after another whether it is one of them.

    A recording is known by the place that its case names or, if it was moved, by its content. The file need not be
    there: a recording on a drive that is away keeps its place.
    """

    def __init__(self) -> None:
        self._there: dict[tuple[int, int], Path] = {}
        self._away: dict[str, Path] = {}
        self._names: dict[str, Path] = {}
        self._contents: dict[str, dict[Path | None, Path]] = {}
        self._sizes: set[int] = set()

    def add(self, recordings: Iterable[Recording], case_path: Path) -> None:
        """Take in what a case names."""
        folder = Path(os.path.realpath(case_path)).parent
        for one in recordings:
            path = _path_of(one, folder)
            if (size := size_in(one.fingerprint)) is not None:
                self._sizes.add(size)
                self._contents.setdefault(one.fingerprint, {}).setdefault(path, case_path)
            if path is None:
                continue
            place, name = _place_of(path), _name_of(path)
            self._names.setdefault(name, case_path)
            if place is None:
                self._away.setdefault(name, case_path)
            else:
                self._there.setdefault(place, case_path)

    def case_naming(self, file: Path) -> Path | None:
        """The case that names a file as one of its recordings; None where none does."""
        place = _place_of(file)
        if place is None:
            return self._names.get(_name_of(file))
        return self._there.get(place) or self._away.get(_name_of(file)) or self._case_of_moved(file)

    def _case_of_moved(self, file: Path) -> Path | None:
        """The case whose recording a file holds, where that is not what its case names; else it is but a copy."""
        content = _content_of(file, self._sizes)
        named = self._contents.get(content, {})
        return next((case for path, case in named.items() if path is None or _content_of(path) != content), None)


def _place_of(path: Path) -> tuple[int, int] | None:
    """By which a file is known, whatever it is called; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _name_of(path: Path) -> str:
    """For a file that is not there: on many systems letter case makes no difference to a name."""
    return os.path.realpath(path).casefold()


def _content_of(path: Path, sizes: Container[int] | None = None) -> str:
    """The fingerprint of a file of one of these sizes, or of any; empty where there is no such file."""
    try:
        is_sought = _is_file(path) and (sizes is None or path.stat().st_size in sizes)
        return fingerprint(path) if is_sought else ""
    except OSError:
        return ""


def carried(case: Case, from_path: Path, to_path: Path) -> Case:
    """The case as it is kept in another place: the paths of its recordings lead from there to where they led."""
    folder = Path(os.path.realpath(from_path)).parent
    led = [(one, _path_of(one, folder)) for one in case.recordings]
    recordings = (one if path is None else replace(one, path=path_to_keep(path, to_path)) for one, path in led)
    return replace(case, recordings=tuple(recordings))


def _path_of(recording: Recording, folder: Path) -> Path | None:
    """The file that a case names. A stranger's case may name anything: no address, no network share is followed."""
    text = recording.path
    if not text or "\0" in text or _ADDRESS.match(text) or text[:2] in ("//", "\\\\", "/\\", "\\/"):
        return None
    return Path(os.path.normpath(folder / text))


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # such as a name that is too long
        return False


def _as_left(index: int, recording: Recording, folder: Path) -> Located:
    """What is where the recording was left. A file of another size is another one without its content being read."""
    path = _path_of(recording, folder)
    if path is None or not _is_file(path):
        return Located(index, None, "missing")
    size = size_in(recording.fingerprint)
    try:
        content = fingerprint(path) if size is None or path.stat().st_size == size else ""
    except OSError:
        content = ""
    if size is None and content:
        return Located(index, path, "unknown", content)
    if content and content == recording.fingerprint:
        return Located(index, path, "as left", content)
    return Located(index, path, "changed")


def _moved(there: Located, path: Path, recording: Recording) -> Located:
    return Located(there.recording, path, "moved", recording.fingerprint)


def _search(folders: Iterable[Path], fingerprints: Iterable[str], progress: Progress) -> Mapping[str, Path]:
    """Where the files with these fingerprints are, as far as they are found; only files of the right size are read."""
    sought = set(fingerprints)
    sizes = {size_in(one) for one in sought} - {None}
    looked_at = _counted(islice(_files(folders), MOST_ENTRIES), progress)
    right = (path for path, size in looked_at if size in sizes)
    found: dict[str, Path] = {}
    for path in islice(right, MOST_READ):
        try:
            content = fingerprint(path)
        except StoreError:
            continue
        if content in sought:
            found.setdefault(content, path)
            if len(found) == len(sought):
                break
    return found


def _counted(entries: Iterable[_Entry], progress: Progress) -> Iterator[_Entry]:
    for number, entry in enumerate(entries, 1):
        progress(number, MOST_ENTRIES)
        yield entry


def _files(folders: Iterable[Path]) -> Iterator[_Entry]:
    """Files with their sizes, those of upper levels first; folders too, without a size, so that they count."""
    level = list(folders)
    for _ in range(DEEPEST + 1):
        below: list[Path] = []
        for folder in level:
            for entry in _entries(folder):
                try:
                    if entry.is_dir(follow_symlinks=False):
                        below.append(Path(entry))
                        yield Path(entry), None
                    elif entry.is_file():
                        yield Path(entry), entry.stat().st_size
                except OSError:
                    continue
        level = below


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return sorted(entries, key=lambda entry: entry.name)
    except OSError:
        return []
