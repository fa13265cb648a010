"""Making film strips and peaks of sound beside the window, or taking them from the cache."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from pathlib import Path
from time import monotonic
from typing import Literal, NamedTuple

from PySide6.QtCore import QObject, Signal

from annotator.desktop.work import Work
from annotator.errors import AnnotatorError, Cancelled
from annotator.media.sound import Peaks, read_peaks
from annotator.media.strip_cache import StripCache
from annotator.media.thumbnails import Thumbnail, thumbnails
from annotator.model.case import Case
from annotator.model.timecode import SECOND, Ms
from annotator.progress import Progress

_MOST = 1_200
"""Thumbnails of a recording, so that hours of it take little time and memory."""

_CLOSEST: Ms = SECOND
_FIRST_LOOK = 24
"""Thumbnails over the whole recording that come before all others."""

_PIECE = 256
"""Thumbnails made in one go; after each the visible part is looked at again."""

_BATCH_SECONDS = 0.2

Kind = Literal["film", "sound"]


class Film:
    """What there is so far of a recording's thumbnails; `says` tells why there are none."""

    def __init__(self, says: str = "") -> None:
        self.says = says
        self._times: list[Ms] = []
        self._jpegs: list[bytes] = []

    def __len__(self) -> int:
        return len(self._times)

    def put(self, film: Iterable[Thumbnail]) -> None:
        for one in film:
            place = bisect_left(self._times, one.time)
            if self._times[place : place + 1] != [one.time]:
                self._times.insert(place, one.time)
                self._jpegs.insert(place, one.jpeg)

    def at(self, ms: Ms) -> Thumbnail | None:
        """The nearest thumbnail at or before a time of the recording, or its first; None while there is none."""
        if not self._times:
            return None
        place = max(bisect_right(self._times, ms) - 1, 0)
        return Thumbnail(self._times[place], self._jpegs[place])


class Sound:
    """A recording's peaks once they are known; `says` tells why there is nothing to draw."""

    def __init__(self, says: str) -> None:
        self.says = says
        self.peaks: Peaks | None = None


class Made(NamedTuple):
    """That the strip or the peaks of a recording are whole, and whether they were kept from an earlier time."""

    recording: int
    kind: Kind
    from_cache: bool


class StripMaker(QObject):
    """The strips of all recordings of a case. Whatever is near the part that was looked at last comes first.

    grew  there is more to draw
    made  a recording is done with; carries a Made
    done  so is everything
    """

    grew = Signal()
    made = Signal(object)
    done = Signal()
    _came = Signal(object)

    def __init__(
        self, case: Case, paths: Sequence[Path | None], cache: StripCache, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._case = case
        self._paths = paths
        self._cache = cache
        self._visible: tuple[Ms, Ms] = (0, case.duration)
        missing = [f"recording {number + 1} can't be read here" for number in range(len(paths))]
        self.films = [Film("" if path else says) for path, says in zip(paths, missing, strict=True)]
        self.sounds = [Sound("reading the sound…" if path else says) for path, says in zip(paths, missing, strict=True)]
        self._begun = False
        self._works: list[Work] = []
        self._came.connect(self._take)

    @property
    def is_done(self) -> bool:
        return self._begun and not self._works

    def start(self) -> None:
        """Begin; nothing the second time."""
        if self._begun:
            return
        self._begun = True
        for job in (self._make_films, self._make_sounds):
            work = Work(job, self)
            self._works.append(work)
            for ended in (work.done, work.failed, work.cancelled):
                ended.connect(self._end)
        for work in list(self._works):
            work.start()

    def look_at(self, start: Ms, end: Ms) -> None:
        """Make what lies about this part of the case before the rest."""
        self._visible = (start, end)

    def close(self) -> None:
        """Stop; nothing is made any more once this returns."""
        for work in self._works:
            work.cancel()
        for work in self._works:
            work.wait()

    # --- in the window's thread ---------------------------------------------------------------------------

    def _take(self, change: Callable[[], None]) -> None:
        change()
        self.grew.emit()

    def _end(self) -> None:
        work = self.sender()
        self._works = [one for one in self._works if one is not work]
        if not self._works:
            self.done.emit()

    # --- beside the window --------------------------------------------------------------------------------

    def _make_films(self, progress: Progress) -> None:
        for number, path in enumerate(self._paths):
            if path is None:
                continue
            film, fingerprint = self.films[number], self._case.recordings[number].fingerprint
            kept = self._cache.film(fingerprint)
            says = ""
            if kept is None:
                try:
                    made = self._make_film(number, path, progress)
                    if made:
                        self._cache.keep_film(fingerprint, made)
                    says = "" if made else "no picture can be read for the strip"
                except Cancelled:
                    raise
                except AnnotatorError as error:
                    says = str(error)
            self._came.emit(_Whole(film, kept or (), says, self, Made(number, "film", kept is not None)))

    def _make_film(self, number: int, path: Path, progress: Progress) -> list[Thumbnail]:
        """Every thumbnail of a recording: a first look at all of it, then piece by piece, the visible ones first."""
        film, duration = self.films[number], self._case.recordings[number].duration
        every = max(_CLOSEST, duration // _MOST)
        found: dict[Ms, Thumbnail] = {}

        def gather(apart: Ms, start: Ms, end: Ms) -> tuple[Ms, Ms]:
            """Take thumbnails from `start` on; returns from when to when there are no more.

            Where the file yields none near `start` but far before, all of it is taken in this one go.
            """
            begun = start
            batch: list[Thumbnail] = []
            told = monotonic()
            with closing(thumbnails(path, apart, start, progress)) as coming:
                for one in coming:
                    if one.time < start - _PIECE * apart:
                        begun, end = min(begun, one.time), max(duration, end)
                    if one.time >= end:
                        self._came.emit(_More(film, batch))
                        return begun, one.time
                    found[one.time] = one
                    batch.append(one)
                    if monotonic() - told > _BATCH_SECONDS:
                        self._came.emit(_More(film, batch))
                        batch, told = [], monotonic()
            self._came.emit(_More(film, batch))
            return begun, max(duration, end)

        if duration > 2 * _FIRST_LOOK * every:
            gather(duration // _FIRST_LOOK, 0, duration)
        left = set(range(0, max(duration, 1), _PIECE * every))
        while left:
            start = min(left, key=lambda one: abs(one + _PIECE * every // 2 - self._middle(number)))
            begun, reached = gather(every, start, start + _PIECE * every)
            left = {one for one in left if one != start and not begun <= one <= reached - _PIECE * every}
        return [found[time] for time in sorted(found)]

    def _middle(self, number: int) -> Ms:
        """The middle of what is visible, on the recording's own clock."""
        start, end = self._visible
        return (start + end) // 2 - self._case.borders[number]

    def _make_sounds(self, progress: Progress) -> None:
        for number, path in enumerate(self._paths):
            if path is None:
                continue
            fingerprint = self._case.recordings[number].fingerprint
            kept = peaks = self._cache.peaks(fingerprint)
            says = ""
            if peaks is None:
                try:
                    peaks = read_peaks(path, progress)
                    self._cache.keep_peaks(fingerprint, peaks)
                except Cancelled:
                    raise
                except AnnotatorError as error:
                    says = str(error)
            if peaks is not None and not len(peaks.levels):
                says = "no sound"
            self._came.emit(_Heard(self.sounds[number], peaks, says, self, Made(number, "sound", kept is not None)))


class _More(NamedTuple):
    """Thumbnails that go into a film."""

    film: Film
    batch: Sequence[Thumbnail]

    def __call__(self) -> None:
        self.film.put(self.batch)


class _Whole(NamedTuple):
    """The last of a film's thumbnails."""

    film: Film
    batch: Sequence[Thumbnail]
    says: str
    maker: StripMaker
    made: Made

    def __call__(self) -> None:
        self.film.put(self.batch)
        self.film.says = self.says
        self.maker.made.emit(self.made)


class _Heard(NamedTuple):
    """The peaks of a recording."""

    sound: Sound
    peaks: Peaks | None
    says: str
    maker: StripMaker
    made: Made

    def __call__(self) -> None:
        self.sound.peaks, self.sound.says = self.peaks, self.says
        self.maker.made.emit(self.made)
