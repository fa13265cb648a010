"""What is said of a tag that does not count as it stands: the same sentence beside chapters and durations.

Whoever publishes both reads it once.
"""

from collections.abc import Iterator

from annotator.model.case import Case, Tag
from annotator.model.timecode import clock


def altered(case: Case) -> Iterator[str]:
    """Of each recording that does not run as the operation did."""
    for number, recording in enumerate(case.recordings, start=1):
        if recording.altered:
            name = f"Recording {number}" if len(case.recordings) > 1 else "The recording"
            how = " and ".join(recording.altered)
            yield f"{name} is marked as {how}: times are those of the film, not of the operation."


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
