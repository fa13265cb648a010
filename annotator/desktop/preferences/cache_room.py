"""Where the cache is, how much space it may take, and how much it takes now."""

import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple, Self

from annotator.desktop.preferences.preferences import Preferences
from annotator.errors import StoreError
from annotator.media.cache.cache_files import make_room, used_bytes
from annotator.workflow.own_folders import cache_folder

GB = 1_000_000_000
"""As disks are sold."""

SIZES = tuple(size * GB for size in (1, 2, 5, 10, 20, 50, 100))
"""What is offered: an hour takes about half a GB, nearly all of it the review copy."""

_OF_THE_FREE, _LEAST, _MOST = 0.1, GB, 20 * GB
"""What suits a disk: a tenth of what is free, within these."""

_OURS = "surgical-step-annotator"


class Room(NamedTuple):
    """A folder, and the bytes that what is kept below it may take."""

    folder: Path
    most_bytes: int

    @classmethod
    def of(cls, preferences: Preferences) -> Self:
        """As the user wants it, or as usual."""
        room = cls(kept_folder(preferences), 0)
        return room._replace(most_bytes=preferences.cache_bytes or room.suits())

    def suits(self) -> int:
        """The bytes that suit the disk; what is kept already counts as free."""
        there = next((one for one in (self.folder, *self.folder.parents) if one.exists()), None)
        try:
            free = shutil.disk_usage(there).free if there else 0
        except OSError:
            free = 0
        return round(min(max((free + self.used()) * _OF_THE_FREE, _LEAST), _MOST))

    def used(self) -> int:
        return used_bytes(self.folder)

    def keep_within(self) -> None:
        """Take away what was not used for the longest, until the rest fits."""
        make_room(self.folder, self.most_bytes)

    def empty(self) -> None:
        """Take everything away that can be made again, and nothing else."""
        make_room(self.folder, 0)

    def try_writing(self) -> None:
        """Raises StoreError where nothing can be kept."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=self.folder):
                pass
        except OSError as error:
            says = error.strerror or str(error)
            raise StoreError(f"{self.folder} can't be written to: {says}; choose another folder") from error


def kept_folder(preferences: Preferences) -> Path:
    """The folder that the user wants, or the usual one."""
    return preferences.cache_folder or cache_folder()


def folder_within(chosen: Path) -> Path:
    """A folder of our own in the one that was chosen, so that its other files stay apart."""
    return chosen if chosen.name == _OURS else chosen / _OURS
