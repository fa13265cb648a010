"""The user's settings: each with its name, its default and its limits, kept by Qt.

Each is kept as plain text. What somebody or something has damaged counts as not set, and can be told.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final, Generic, Self, TypeVar, overload

import msgspec
from PySide6.QtCore import QSettings

from annotator.desktop.preferences.recent import Recent, read_recent, write_recent
from annotator.desktop.preferences.speeds import SPEEDS, read_speeds, write_speeds
from annotator.desktop.preferences.used_terms import Used, read_used, write_used
from annotator.desktop.theme.theme import Choice
from annotator.model.retina import View
from annotator.publish.options import Options
from annotator.publish.options import dumps as dumps_options
from annotator.publish.options import loads as loads_options

VOCABULARY: Final = "vitreoretinal"
"""Of a new case, where the user wants no other."""

SMALLEST_CACHE: Final = 200_000_000
LARGEST_CACHE: Final = 10_000_000_000_000
"""Bytes: less would not even hold the thumbnails of a day in theatre."""

LOUDEST: Final = 100
"""Percent of the volume."""

_LONGEST = 200_000
"""Characters of a setting that are looked at; the longest sound one, what is used, has up to 160,000."""

Value = TypeVar("Value")


class _Kept(Generic[Value]):
    """A setting: its name, what it is while nothing sound is kept, and how it is read from text and written."""

    def __init__(
        self, name: str, default: Value, loads: Callable[[str], Value], dumps: Callable[[Value], str] = str
    ) -> None:
        self.name = name
        self.default = default
        self._loads = loads
        self._dumps = dumps

    @overload
    def __get__(self, owner: None, _kind: type["Preferences"]) -> Self: ...

    @overload
    def __get__(self, owner: "Preferences", _kind: type["Preferences"]) -> Value: ...

    def __get__(self, owner: "Preferences | None", _kind: type["Preferences"]) -> Self | Value:
        if owner is None:
            return self
        try:
            return self.read(owner.settings)
        except ValueError:
            return self.default

    def __set__(self, owner: "Preferences", value: Value) -> None:
        if value == self.default:
            owner.settings.remove(self.name)
        else:
            owner.settings.setValue(self.name, self._dumps(value))

    def read(self, settings: QSettings) -> Value:
        """Raises ValueError for what is kept but is not sound."""
        if not settings.contains(self.name):
            return self.default
        kept: Any = settings.value(self.name)
        if not isinstance(kept, str) or len(kept) > _LONGEST:
            raise ValueError(self.name)
        return self._loads(kept)


def _truth(text: str) -> bool:
    if text not in ("true", "false"):
        raise ValueError(text)
    return text == "true"


def _truth_text(truth: bool) -> str:
    return "true" if truth else "false"


def _keys(text: str) -> Mapping[str, tuple[str, ...]]:
    try:
        return msgspec.json.decode(text, type=dict[str, tuple[str, ...]])
    except msgspec.MsgspecError as error:
        raise ValueError(text) from error


def _keys_text(keys: Mapping[str, Sequence[str]]) -> str:
    return msgspec.json.encode(keys).decode()


def _folder(text: str) -> Path:
    path = Path(text)
    if not path.is_absolute() or "\0" in text:
        raise ValueError(text)
    return path


def _cache_bytes(text: str) -> int:
    count = int(text)
    if not SMALLEST_CACHE <= count <= LARGEST_CACHE:
        raise ValueError(text)
    return count


def _percent(text: str) -> int:
    count = int(text)
    if not 0 <= count <= LOUDEST:
        raise ValueError(text)
    return count


def _view(text: str) -> View:
    """As it is kept, or as it was kept before pictures could be mirrored."""
    return View.TURNED if text == "as the surgeon sits" else View(text)


class Preferences:
    """A view of the settings: reads and writes them, and keeps nothing itself.

    theme             light, dark, or as the system has it
    speeds            steps of the speed, in rising order, 1 among them
    single_keys       whether letters, figures and signs alone are keys of commands
    keys              what the user has changed: keys by the name of a command or the IRI of a concept
    cache_folder      where what can be made again is kept; None for the system's folder for such things
    cache_bytes       how much that may take; None for what suits the disk
    volume            how loud recordings are played, in percent
    is_muted          whether they are silent all the same
    vocabulary        name of the vocabulary of new cases
    retina_view       how the retina chart stands beside a recording whose case does not say how its picture does
    sheet_is_folded   whether the step list is only a strip of icons
    side_is_folded    the same of the side panel
    timeline_is_folded  whether the timeline has its fewest lanes
    publishing        what was published last, and in which form
    publish_folder    where to; None for the folder of the case
    library_folder    the folder of cases last looked into; None before
    recent_cases      the cases last open, the newest first
    used_terms        in how many cases each concept of a vocabulary was used
    geometry          where the window was last and how large, as Qt writes it; empty before
    shows_first_steps whether the line for whoever never saw the window is shown
    """

    theme = _Kept("theme", Choice.SYSTEM, Choice)
    speeds = _Kept("speeds", SPEEDS, read_speeds, write_speeds)
    single_keys = _Kept("single_keys", True, _truth, _truth_text)
    keys = _Kept[Mapping[str, tuple[str, ...]]]("keys", {}, _keys, _keys_text)
    cache_folder = _Kept[Path | None]("cache_folder", None, _folder)
    cache_bytes = _Kept[int | None]("cache_bytes", None, _cache_bytes)
    volume = _Kept("volume", LOUDEST, _percent)
    is_muted = _Kept("muted", False, _truth, _truth_text)
    vocabulary = _Kept("vocabulary", VOCABULARY, str)
    retina_view = _Kept("retina_view", View.UPRIGHT, _view)
    sheet_is_folded = _Kept("sheet_is_folded", False, _truth, _truth_text)
    side_is_folded = _Kept("side_is_folded", False, _truth, _truth_text)
    timeline_is_folded = _Kept("timeline_is_folded", False, _truth, _truth_text)
    publishing = _Kept("publishing", Options(), loads_options, dumps_options)
    publish_folder = _Kept[Path | None]("publish_folder", None, _folder)
    library_folder = _Kept[Path | None]("library_folder", None, _folder)
    recent_cases = _Kept[Recent]("recent_cases", (), read_recent, write_recent)
    used_terms = _Kept[Used]("used_terms", {}, read_used, write_used)
    geometry = _Kept("geometry", "", str)
    shows_first_steps = _Kept("first_steps", True, _truth, _truth_text)

    def __init__(self, settings: QSettings) -> None:
        self.settings = settings

    def are_written(self) -> bool:
        """Write what has changed to the disk; whether that was possible."""
        self.settings.sync()
        return self.settings.status() != QSettings.Status.AccessError

    def damaged(self) -> tuple[str, ...]:
        """The names of settings that are kept but can't be used, and so are as at first."""
        found = []
        for one in vars(type(self)).values():
            if isinstance(one, _Kept):
                try:
                    one.read(self.settings)
                except ValueError:
                    found.append(one.name)
        return tuple(found)
