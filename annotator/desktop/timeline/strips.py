"""The thumbnails and sound made so far, for the lanes to paint."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable

from annotator.media.pictures.sound import Peaks
from annotator.media.pictures.thumbnails import Thumbnail
from annotator.model.timecode import Ms


class Film:
    """What there is so far of a recording's thumbnails; `says` tells why there are none, or no more."""

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
