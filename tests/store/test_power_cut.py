"""A power cut takes more than a kill does: everything that the disk was not told to keep.

A kill leaves what was written in the system's cache. Here every flush (fsync) is watched, so that what POSIX
promises to survive a cut is known: of each file the content at its last flush, and the names of the folder either as
they were at its last flush or as they are now. From these the case is opened, before and after every single flush.
Needs /proc, to read again what is being flushed.
"""

import os
import random
import stat
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeAlias
from unittest.mock import patch

import pytest

from annotator.model import edits
from annotator.store.session import Session
from tests.store.killing import Notes, notes_in
from tests.store.on_disk import NAME, adding, new_case, new_tag, noting, read

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs /proc")

Names: TypeAlias = dict[str, int]
"""The files of a folder, each with its inode."""


def names_in(folder: Path | str) -> Names:
    return {entry.name: entry.inode() for entry in os.scandir(folder)}


class Platter:
    """What is certain to be on the disk of one folder."""

    def __init__(self, folder: Path) -> None:
        self.flushes = 0
        self._folder = folder
        self._flushed_names: Names = {}
        self._contents: dict[int, bytes] = {}
        self._held: list[int] = []

    def flushed(self, descriptor: int) -> None:
        self.flushes += 1
        found = os.fstat(descriptor)
        if stat.S_ISDIR(found.st_mode):
            self._flushed_names = names_in(f"/proc/self/fd/{descriptor}")
        else:
            self._held.append(os.dup(descriptor))  # or the number of a deleted file would come again for another
            self._contents[found.st_ino] = Path(f"/proc/self/fd/{descriptor}").read_bytes()

    def cuts(self) -> Iterator[Path]:
        """The case in each of the folders that a power cut could leave now."""
        for names in (self._flushed_names, names_in(self._folder)):
            with TemporaryDirectory() as folder:
                for name, inode in names.items():
                    (Path(folder) / name).write_bytes(self._contents.get(inode, b""))
                yield Path(folder) / NAME

    def close(self) -> None:
        for descriptor in self._held:
            os.close(descriptor)


class Watch:
    """Looks, around every flush, whether the case after a cut is the one acknowledged or the one under way."""

    def __init__(self, platter: Platter) -> None:
        self.allowed: list[Notes] = []
        self._platter = platter
        self._fsync = os.fsync

    def look(self) -> None:
        for path in self._platter.cuts() if self.allowed else ():
            assert notes_in(read(path)) in self.allowed

    def fsync(self, descriptor: int) -> None:
        self.look()
        self._fsync(descriptor)
        self._platter.flushed(descriptor)
        self.look()


def random_step(session: Session, dice: random.Random, number: int) -> edits.Edit | str:
    steps: list[edits.Edit | str] = [adding(number), adding(number), "save", "reopen"]
    if session.can_undo:
        steps.append("undo")
    if there := list(notes_in(session.case)):
        known = dice.choice(there)
        steps += [noting(known, f"{number}"), lambda case: edits.remove(case, [new_tag(known).id])]
    return dice.choice(steps)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_power_cut_at_any_moment_takes_nothing_acknowledged(tmp_path: Path, seed: int) -> None:
    path = tmp_path / NAME
    dice = random.Random(seed)
    platter = Platter(tmp_path)
    watch = Watch(platter)
    with patch("os.fsync", watch.fsync):
        session = Session.create(path, new_case())
        undo: list[Notes] = []
        for number in range(1, 40):
            now = notes_in(session.case)
            watch.allowed = [now]
            watch.look()
            step = random_step(session, dice, number)
            if step == "save":
                session.save()
            elif step == "reopen":
                session.close()
                session = Session.open(path)
                undo.clear()
            elif step == "undo":
                watch.allowed.append(undo.pop())
                session.undo()
            elif callable(step):
                watch.allowed.append(notes_in(step(session.case).case))
                undo.append(now)
                session.do(step)
        session.close()
        watch.allowed = [notes_in(session.case)]
        watch.look()
    platter.close()
    assert platter.flushes > 60
