"""The recent cases: where they are, when they were open, and at what time of the case; kept in the settings.

No picture is kept there, only which one may be shown: it is taken from the thumbnails in the cache, while they are.
"""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

import msgspec

from annotator.measure.poster_time import poster_range
from annotator.model.case import UNTITLED, Case
from annotator.model.timecode import Ms

MOST: Final = 6


class Picture(msgspec.Struct, frozen=True):
    """Of the recording with this content any frame between two of its times, in ms, may stand for the case."""

    fingerprint: str
    since: Ms
    until: Ms


class RecentCase(msgspec.Struct, frozen=True):
    """A case file, in full, when it was last open, on the clock of this machine, and the case time shown then.

    title    of the case; empty where it has none
    picture  None where no frame may be shown
    """

    path: str
    at: datetime
    shown: Ms = 0
    title: str = ""
    picture: Picture | None = None

    @property
    def name(self) -> str:
        """The title, or else the file's name without its ending."""
        return self.title or Path(self.path).name.removesuffix(".jsonld").removesuffix(".case")

    @property
    def folder(self) -> str:
        return str(Path(self.path).parent)

    def when(self, now: datetime) -> str:
        """`today, 14:05`, or the day."""
        if self.at.date() == now.date():
            return f"today, {self.at:%H:%M}"
        return f"{self.at.day} {self.at:%B}" + (f" {self.at.year}" if self.at.year != now.year else "")


Recent = Sequence[RecentCase]


def with_case(recent: Recent, path: Path, at: datetime, shown: Ms = 0, case: Case | None = None) -> Recent:
    """The list with this case first, as what it is if that is known; the oldest of too many is dropped."""
    before = next((one for one in recent if one.path == str(path)), None)
    title, picture = (before.title, before.picture) if before else ("", None)
    if case is not None:
        title, picture = "" if case.title == UNTITLED else case.title, picture_of(case)
    return (RecentCase(str(path), at, shown, title, picture), *without(recent, path))[:MOST]


def picture_of(case: Case) -> Picture | None:
    """Where in which recording the picture lies that may stand for a case; None for none."""
    found = poster_range(case)
    if found is None:
        return None
    spot = case.spot(found.end)
    recording = case.recordings[spot.recording]
    return Picture(recording.fingerprint, case.spot(found.start).at, spot.at)


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
