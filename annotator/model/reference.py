"""A group's time of a step, to lay a case beside: with what begins and ends it there, and where that is from."""

from enum import StrEnum
from typing import Final

import msgspec

from annotator.model.timecode import Ms

OPERATION: Final = "operating time"
"""What stands for the operating time where a step is named; no concept's notation has a blank."""


class Measured(StrEnum):
    """Which time of a step."""

    NET = "net"
    ELAPSED = "elapsed"


class Reference(msgspec.Struct, frozen=True):
    """The times of one group; times in ms.

    step          notation of the concept, or OPERATION
    group         whose they are: “fellows”, “25 gauge”
    n             of how many cases
    begins, ends  what begins and ends the step there: times compare only where these are alike
    source        where that is said
    """

    step: str
    group: str
    n: int
    measured: Measured
    begins: str
    ends: str
    source: str
    median: Ms | None = None
    lower_quartile: Ms | None = None
    upper_quartile: Ms | None = None
    mean: Ms | None = None
    deviation: Ms | None = None

    @property
    def middle(self) -> Ms:
        """The median, or the mean where only that is known; 0 where neither is."""
        return next((one for one in (self.median, self.mean) if one is not None), 0)
