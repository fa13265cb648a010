"""How bright a recording is along its time."""

from pathlib import Path
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from annotator.media.container.decoding import decoded, use_threads
from annotator.media.container.limits import MAX_FRAMES
from annotator.media.container.opening import opened, picture_stream
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.frame_times import only_some_stamped, timed
from annotator.model.timecode import Ms
from annotator.progress import Progress, silent

EVERY: Final[Ms] = 40
"""How long a stretch each value stands for."""

_SIZE: Final = 16
"""Pixels along each side of the picture of which the mean is taken."""

_REPORTS_EVERY: Final = 16
"""Pictures between two reports of progress."""

Brightness: TypeAlias = NDArray[np.float64]


def read_brightness(path: Path, index: FrameIndex, progress: Progress = silent) -> Brightness:
    """The mean brightness, 0 to 255, of the picture shown every `EVERY` ms from the recording's zero to its end.

    All pictures are decoded; one that does not decode is as bright as the one before. `progress` counts ms. MediaError
    where the file is no recording.
    """
    times: list[Ms] = []
    values: list[float] = []
    with opened(path) as container:
        stream = picture_stream(container, path)
        use_threads(container, stream)
        only_some_stamped(container)
        pictures = timed(container, stream, decoded(container, stream, MAX_FRAMES), index)
        for number, (time, frame) in enumerate(pictures):
            times.append(time)
            values.append(float(frame.reformat(_SIZE, _SIZE, "gray").to_ndarray().mean()))
            if number % _REPORTS_EVERY == 0:
                progress(min(max(time, 0), index.end), index.end)
    shown = np.searchsorted(np.array(times), np.arange(0, index.end, EVERY), side="right") - 1
    return np.array(values)[np.maximum(shown, 0)] if values else np.zeros(0)
