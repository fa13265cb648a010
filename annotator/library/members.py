"""Cases from files and folders, as they are looked at together. Nothing is written; what can't be read is told."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from annotator.errors import AnnotatorError, StoreError
from annotator.library.tree import case_files
from annotator.measure.over_cases.series import LeftOut, Member, member
from annotator.progress import Progress, silent
from annotator.store.reading import CASE_ENDING, read_case


class Found(NamedTuple):
    """The cases, what could not be read as one, with the reason, and in which file each of the cases is."""

    members: tuple[Member, ...]
    left_out: tuple[LeftOut, ...]
    paths: tuple[Path, ...]


class _File(NamedTuple):
    """A file, what it is called where it is told of, and whether it has to be a case."""

    path: Path
    name: str
    sure: bool


def member_at(path: Path) -> Member:
    """The case in a file. Raises what `read_case` raises."""
    return member(read_case(path).case, path.name.removesuffix(CASE_ENDING))


def members_in(paths: Iterable[Path], progress: Progress = silent) -> Found:
    """Every case in files and folder trees, each file once. Raises StoreError for one that is not there."""
    left_out: list[LeftOut] = []
    files = {one.path.resolve(): one for path in paths for one in _files(path, left_out)}
    members: list[tuple[Member, Path]] = []
    for count, one in enumerate(files.values()):
        progress(count, len(files))
        try:
            members.append((member(read_case(one.path).case, one.name), one.path))
        except AnnotatorError as error:
            if one.sure:
                left_out.append(LeftOut(one.name, "can't be read", str(error).splitlines()[0]))
    progress(len(files), len(files))
    return Found(tuple(one for one, _ in members), tuple(left_out), tuple(path for _, path in members))


def _files(path: Path, left_out: list[LeftOut]) -> Iterator[_File]:
    if not path.exists():
        raise StoreError(f"There is no file or folder {path}; check its name")
    if not path.is_dir():
        yield _File(path, path.name.removesuffix(CASE_ENDING), sure=True)
        return
    tree = case_files(path)
    left_out += [LeftOut(path.name, "was not looked at", says) for says in tree.left_out]
    for one in tree.files:
        yield _File(one.path, one.name.removesuffix(CASE_ENDING), one.sure)
