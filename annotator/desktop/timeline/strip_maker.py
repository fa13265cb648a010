"""Thumbnails and sound of a case's recordings: made in the background, or taken from the cache."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Literal, NamedTuple

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.task import Job, Task
from annotator.desktop.timeline.strips import Film, Sound
from annotator.errors import MediaError
from annotator.media.cache.strip_cache import StripCache
from annotator.media.pictures.sound import Peaks, read_peaks
from annotator.media.pictures.thumbnails import Thumbnail
from annotator.media.pictures.whole_strip import whole_strip
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.progress import Progress, Scaled

_MISSING = "can't be read"
_STOPPED = "stopped; made the next time this case is opened"

Kind = Literal["film", "sound"]


class Made(NamedTuple):
    """That the strip or the peaks of a recording are whole, and whether they were kept from an earlier time."""

    recording: int
    kind: Kind
    from_cache: bool


class StripMaker(QObject):
    """The strips of all recordings of a case. Whatever is near the part that was looked at last comes first.

    They are kept by the fingerprint of what is in each file now, its `contents`.

    began  work is under way; carries the Task and what it makes
    grew   there is more to draw
    made   a recording is done with; carries a Made
    done   so is everything, or it was stopped
    """

    began = Signal(object, str)
    grew = Signal()
    made = Signal(object)
    done = Signal()
    _came = Signal(object)

    def __init__(
        self,
        case: Case,
        paths: Sequence[Path | None],
        contents: Sequence[str],
        cache: StripCache,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._case = case
        self._paths = paths
        self._contents = contents
        self._cache = cache
        self._visible: tuple[Ms, Ms] = (0, case.duration)
        self.films = [Film("" if path else _MISSING) for path in paths]
        self.sounds = [Sound("reading the sound…" if path else _MISSING) for path in paths]
        self._begun = False
        self._tasks: dict[Kind, Task] = {}
        self._whole: set[tuple[Kind, int]] = set()
        self._came.connect(self._take)

    def use_cache(self, cache: StripCache) -> None:
        """Keep there what is made from now on."""
        self._cache = cache

    @property
    def is_done(self) -> bool:
        return self._begun and not self._tasks

    def start(self) -> None:
        """Begin; nothing the second time."""
        if self._begun:
            return
        self._begun = True
        jobs: tuple[tuple[Kind, Job, str], ...] = (
            ("film", partial(self._each, self._film), "Thumbnails"),
            ("sound", partial(self._each, self._sound), "Sound"),
        )
        for kind, job, what in jobs:
            self._tasks[kind] = task = Task(job, self)
            for ended in (task.done, task.failed, task.cancelled):
                ended.connect(partial(self._end, kind))
            self.began.emit(task, what)
        for task in list(self._tasks.values()):
            task.start()

    def look_at(self, start: Ms, end: Ms) -> None:
        """Make what lies about this part of the case before the rest."""
        self._visible = (start, end)

    def close(self) -> None:
        """Stop; nothing is made any more once this returns."""
        for task in self._tasks.values():
            task.cancel()
        for task in self._tasks.values():
            task.wait()

    # --- in the window's thread ---------------------------------------------------------------------------

    def _take(self, change: Callable[[], None]) -> None:
        change()
        self.grew.emit()

    def _end(self, kind: Kind, *_: object) -> None:
        strips: Sequence[Film | Sound] = self.films if kind == "film" else self.sounds
        for number, strip in enumerate(strips):
            if (kind, number) not in self._whole and self._paths[number] is not None:
                strip.says = _STOPPED
        del self._tasks[kind]
        self.grew.emit()
        if not self._tasks:
            self.done.emit()

    def _take_film(self, number: int, film: Sequence[Thumbnail], says: str, *, from_cache: bool) -> None:
        self.films[number].put(film)
        self.films[number].says = says
        self._tell_whole(Made(number, "film", from_cache))

    def _take_sound(self, number: int, peaks: Peaks | None, says: str, *, from_cache: bool) -> None:
        self.sounds[number].peaks = peaks
        self.sounds[number].says = says
        self._tell_whole(Made(number, "sound", from_cache))

    def _tell_whole(self, made: Made) -> None:
        self._whole.add((made.kind, made.recording))
        self.made.emit(made)

    # --- beside the window --------------------------------------------------------------------------------

    def _each(self, make: Callable[[int, Path, Progress], None], progress: Progress) -> None:
        """One recording after the other, always the one nearest to what is looked at."""
        left = {number: path for number, path in enumerate(self._paths) if path is not None}
        done: Ms = 0
        while left:
            number = min(left, key=self._distance)
            length = self._case.recordings[number].duration
            make(number, left.pop(number), Scaled(progress, done, done + length, self._case.duration))
            done += length

    def _film(self, number: int, path: Path, progress: Progress) -> None:
        fingerprint, says = self._contents[number], ""
        film: Sequence[Thumbnail] | None = self._cache.film(fingerprint)
        from_cache = film is not None
        if film is None:
            try:
                film = self._made_film(number, path, progress)
                says = "" if film else "no thumbnails can be read"
                if film:
                    self._cache.keep_film(fingerprint, film)
            except MediaError as error:
                film, says = (), str(error)
        self._came.emit(partial(self._take_film, number, film, says, from_cache=from_cache))

    def _made_film(self, number: int, path: Path, progress: Progress) -> list[Thumbnail]:
        film, duration = self.films[number], self._case.recordings[number].duration

        def take(batch: Sequence[Thumbnail]) -> None:
            self._came.emit(partial(film.put, batch))

        return whole_strip(path, duration, partial(self._looked_at, number), take, progress)

    def _sound(self, number: int, path: Path, progress: Progress) -> None:
        fingerprint, says = self._contents[number], ""
        kept = peaks = self._cache.peaks(fingerprint)
        if peaks is None:
            try:
                peaks = read_peaks(path, progress)
                self._cache.keep_peaks(fingerprint, peaks)
            except MediaError as error:
                says = str(error)
        if peaks is not None and not len(peaks.levels):
            says = "no sound"
        self._came.emit(partial(self._take_sound, number, peaks, says, from_cache=kept is not None))

    def _looked_at(self, number: int) -> Ms:
        """The middle of what is visible, on a recording's own clock."""
        start, end = self._visible
        return (start + end) // 2 - self._case.borders[number]

    def _distance(self, number: int) -> Ms:
        """From the middle of what is visible to the recording; 0 within it."""
        at = self._looked_at(number)
        return max(-at, at - self._case.recordings[number].duration, 0)
