"""What is said of a tag that does not count as it stands: the same sentence beside chapters and durations.

Whoever publishes both reads it once.
"""

from annotator.model.case import Case, Tag
from annotator.model.timecode import clock


def running(case: Case, tag: Tag, name: str) -> str:
    """Of a tag that nobody has ended."""
    return f"{name}, started at {clock(tag.start)}, is still running and counts up to the end, {clock(case.duration)}."


def outside(case: Case, tag: Tag, name: str) -> str:
    """Of a tag without any time in the recording."""
    ends = clock(case.duration)
    return f"{name} at {clock(tag.start)} lies outside the recording, which ends at {ends}, and is left out."


def beyond(case: Case, tag: Tag, name: str) -> str:
    """Of a tag with a part of its time in the recording."""
    times = f"{clock(tag.start)} to {clock(case.range_of(tag).end)}"
    ends = clock(case.duration)
    return f"{name} ({times}) reaches beyond the recording, which ends at {ends}; only the part within counts."
