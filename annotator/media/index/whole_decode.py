"""Whether every picture of a recording decodes: what only decoding all of it can tell."""

from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from annotator.media.container.decoding import decoded, use_threads
from annotator.media.container.limits import MAX_FRAMES
from annotator.media.container.opening import opened, picture_stream
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.frame_times import only_some_stamped, timed
from annotator.model.timecode import Ms
from annotator.progress import Progress, silent

_REPORTS_EVERY: Final = 16
"""Pictures between two reports of progress."""


class Damaged(NamedTuple):
    """Pictures in a row of which none is whole, from when to when they should be shown, in ms."""

    start: Ms
    end: Ms
    pictures: int


class Decoded(NamedTuple):
    """What came of decoding all of a recording.

    pictures  that a player should show
    lost      those of them that do not decode
    broken    those that decode but are marked as damaged
    ranges    where these are; what follows on one may look wrong up to the next key frame
    """

    pictures: int
    lost: int
    broken: int
    ranges: tuple[Damaged, ...]


def decode_whole(path: Path, index: FrameIndex, progress: Progress = silent) -> Decoded:
    """Decode every picture of a recording with these frames; `progress` counts ms. MediaError where it is none."""
    came = np.zeros(len(index), dtype=np.bool_)
    whole = np.zeros(len(index), dtype=np.bool_)
    with opened(path) as container:
        stream = picture_stream(container, path)
        use_threads(container, stream)
        only_some_stamped(container)
        pictures = timed(container, stream, decoded(container, stream, MAX_FRAMES), index)
        for number, (time, frame) in enumerate(pictures):
            place = index.shown_at(time)
            came[place] = True
            whole[place] |= not frame.is_corrupt
            if number % _REPORTS_EVERY == 0:
                progress(min(max(time, 0), index.end), index.end)
    progress(index.end, index.end)
    return Decoded(len(index), int((~came).sum()), int((came & ~whole).sum()), tuple(_ranges(~whole, index)))


def _ranges(bad: NDArray[np.bool_], index: FrameIndex) -> list[Damaged]:
    edges = np.flatnonzero(np.diff(np.concatenate(([False], bad, [False])).astype(np.int8)))
    times = np.append(index.times, index.end)
    return [Damaged(int(times[first]), int(times[stop]), int(stop - first)) for first, stop in edges.reshape(-1, 2)]
