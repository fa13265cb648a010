"""Which cases were open last: where they lie, when that was, and at what time of the case; kept in the settings."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

import msgspec

from annotator.model.timecode import Ms

MOST: Final = 6


class RecentCase(msgspec.Struct, frozen=True):
    """A case file, in full, when it was last open, on the clock of this machine, and the case time shown then."""

    path: str
    at: datetime
    shown: Ms = 0

    @property
    def name(self) -> str:
        """The file's name without its ending: a folder often says more of a patient than anybody should read here."""
        return Path(self.path).name.removesuffix(".jsonld").removesuffix(".case")

    def when(self, now: datetime) -> str:
        """`today, 14:05`, or the day."""
        if self.at.date() == now.date():
            return f"today, {self.at:%H:%M}"
        return f"{self.at.day} {self.at:%B}" + (f" {self.at.year}" if self.at.year != now.year else "")


Recent = Sequence[RecentCase]


def with_case(recent: Recent, path: Path, at: datetime, shown: Ms = 0) -> Recent:
    """The list with this case first; the oldest of too many is dropped."""
    return (RecentCase(str(path), at, shown), *without(recent, path))[:MOST]


def shown_last(recent: Recent, path: Path) -> Ms:
    """The case time at which a case was left; 0 where that is not known."""
    return next((one.shown for one in recent if one.path == str(path)), 0)


def without(recent: Recent, path: Path) -> Recent:
    return tuple(one for one in recent if one.path != str(path))


def read_recent(text: str) -> Recent:
    """Raises ValueError for what is no such list."""
    try:
        return msgspec.json.decode(text, type=tuple[RecentCase, ...])[:MOST]
    except msgspec.MsgspecError as error:
        raise ValueError(text) from error


def write_recent(recent: Recent) -> str:
    return msgspec.json.encode(recent).decode()
