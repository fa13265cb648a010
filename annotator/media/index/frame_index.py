"""When each picture of a recording is shown: pure numbers, no file.

Frame `i` is on screen from `times[i]` up to, not including, `times[i + 1]`, the last one up to `end`.
Before the first frame's time a player already shows that frame, after the end it keeps the last one.
"""

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from annotator.model.timecode import Ms


@dataclass(frozen=True, eq=False)
class FrameIndex:
    """The frames of one recording in the order they are shown.

    times       ms from the recording's zero, strictly increasing; at least one
    end         ms at which the last frame ends
    rate        frames a second where the distance between frames is constant, else None
    notes       sentences about what was odd or damaged in the stamps
    sound_lead  ms by which packets of sound begin before zero, from where some players count (see `clock`)
    """

    times: NDArray[np.int64]
    end: Ms
    rate: Fraction | None = None
    notes: tuple[str, ...] = ()
    sound_lead: Ms = 0

    def __post_init__(self) -> None:
        times = np.array(self.times, dtype=np.int64)
        if times.ndim != 1 or not len(times) or bool((np.diff(times) <= 0).any()) or self.end <= times[-1]:
            raise ValueError("frame times must increase, and the end must follow the last of them")
        times.flags.writeable = False
        object.__setattr__(self, "times", times)

    def __len__(self) -> int:
        return len(self.times)

    def shown_at(self, ms: Ms) -> int:
        """Which frame a player shows at `ms`."""
        return max(int(np.searchsorted(self.times, ms, side="right")) - 1, 0)

    def nearest(self, ms: Ms) -> Ms:
        """The boundary nearest to `ms`: a frame's time or the end; of two equally near, the earlier."""
        shown = self.shown_at(ms)
        here = int(self.times[shown])
        following = int(self.times[shown + 1]) if shown + 1 < len(self) else self.end
        return following if following - ms < ms - here else here

    def step(self, ms: Ms, by: int) -> Ms:
        """The time of the frame `by` frames after the one shown at `ms`, or before it, within the recording."""
        return int(self.times[min(max(self.shown_at(ms) + by, 0), len(self) - 1)])
