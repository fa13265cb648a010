"""The sentences that go with every published summary, and lengths as people read them; each said once."""

from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms

REMINDER = (
    "Teaching material. Not a clinical record, not made by a medical device. Consent and local privacy rules apply. "
    "Titles and notes are not checked for names."
)

NO_TIME = "1980-01-01T00:00:00Z"
"""The time of writing that a workbook states: none, as the days around an operation may tell whose it was."""

DEFINITIONS = (
    ("Occurrence", "One uninterrupted stretch: tags of one step that overlap or touch are one occurrence."),
    ("Total", "Time tagged with the step; no millisecond counts twice."),
    ("Share", "Total divided by the length of the whole case."),
    ("Longest, mean, median", "Of the occurrences of the step; a moment is an occurrence of no length."),
    ("First at", "Start of the first occurrence on the case's clock, which begins with the first recording."),
    ("Untagged", "Time of the case that no tag of this category covers."),
    ("Under two tags at once", "Time that two or more tags of this category cover together; it counts in both totals."),
    (
        "Time by place",
        "Time of all tags placed on a field of the retina, each millisecond once; a tag over several counts in each.",
    ),
    ("Transition", "An occurrence of one step followed by one of another, in order of their starts."),
)
"""Short forms of docs/measures.md."""


def length(ms: Ms) -> str:
    """To the ms, hours only where there are any: `0:07.480`, `12:05.000`, `1:02:05.480`."""
    hours, rest = divmod(ms, HOUR)
    minutes, rest = divmod(rest, MINUTE)
    seconds, thousandths = divmod(rest, SECOND)
    end = f"{seconds:02d}.{thousandths:03d}"
    return f"{hours}:{minutes:02d}:{end}" if hours else f"{minutes}:{end}"
