"""The sentences that go with every published summary, and lengths as people read them; each said once."""

from annotator.measure.durations import Summary
from annotator.measure.rows import Row
from annotator.measure.within import Part
from annotator.model.timecode import SECOND, Ms, span
from annotator.plain_text import one_line

REMINDER = (
    "Teaching material. Not a clinical record, not made by a medical device. Consent and local privacy rules apply. "
    "Titles and notes are not checked for names."
)

NO_TIME = "1980-01-01T00:00:00Z"
"""The time of writing that a workbook states: none, as the days around an operation may tell whose it was."""

DEFINITIONS = (
    ("Occurrence", "One uninterrupted stretch: tags of one step that overlap or touch are one occurrence."),
    ("Marked", "Moments: they are counted, and take no part in any time."),
    ("Net", "Time tagged with the step; no millisecond counts twice."),
    ("Elapsed", "From the start of the step's first occurrence to the end of its last, with all that came between."),
    (
        "Operating time",
        "From the first start of a step that begins the operation to the last end of one that ends it, such as from "
        "the first port in to the last port out; the vocabulary says which steps these are.",
    ),
    ("Of operation", "Net time within the operating time, divided by the operating time."),
    ("Of recording", "Net time divided by the length of the whole case."),
    ("Longest, mean, median", "Of the occurrences that have a length, where there are two of them or more."),
    ("First at", "Start of the first occurrence on the case's clock, which begins with the first recording."),
    ("Untagged", "Time of the case that no tag of this category covers; not said of a category that may overlap."),
    (
        "Under two tags at once",
        "Time that two or more tags of this category cover together; it counts in both. Not said of a category that "
        "may overlap.",
    ),
    (
        "Time by place",
        "Time of all tags placed on a field of the retina, each millisecond once; a tag over several counts in each.",
    ),
    ("Transition", "An occurrence of one step followed by one of another, in order of their starts."),
)
"""Short forms of docs/measures.md."""


def length(ms: Ms) -> str:
    """To the nearest second: `0:07`, `12:05`, `1:02:05`; what would be none of them is `<0:01`."""
    return span(ms) if not ms or ms >= SECOND // 2 else "<0:01"


def time(ms: Ms | None) -> str:
    """A length, or nothing where there is none."""
    return "" if ms is None else length(ms)


def counted(row: Row) -> str:
    """How often a step occurs: `2`, or `3 marked, 1 timed` where some are moments."""
    moments = row.visits - row.timed
    if not moments:
        return str(row.visits)
    return f"{moments} marked, {row.timed} timed" if row.timed else f"{moments} marked"


def percent(share: float | None) -> str:
    """A share from 0 to 1, or nothing where there is none."""
    return "" if share is None else f"{100 * share:.1f} %"


def film_only(summary: Summary) -> str:
    """That the times are not the operation's, where a recording is altered; else nothing."""
    if not summary.altered:
        return ""
    return f"{' and '.join(summary.altered).capitalize()} in the film: these are its times, not the operation’s"


def operating(summary: Summary) -> str:
    """The operating time, or that it is not known."""
    return "not known" if summary.operation is None else length(summary.operation.length)


def interrupted(row: Row) -> str:
    """What took time between the occurrences of a step: `Haemostasis 0:06, Bleeding 0:05`."""
    return ", ".join(f"{one_line(one.label)} {length(one.total)}" for one in row.interruptions)


def bounds(row: Row) -> tuple[str, ...]:
    """What is seen when a step begins and when it ends, as far as the vocabulary says it."""
    both = (("Begins", row.begins_when), ("Ends", row.ends_when))
    return tuple(f"{word}: {one_line(text)}" for word, text in both if text)


def inside(part: Part) -> str:
    """What lay within a step: `Bimanual 0:06 (38.5 %)`, `Bleeding 2 marked`."""
    said = [f"{length(part.total)} ({percent(part.share)})"] if part.total else []
    said += [f"{part.marked} marked"] if part.marked else []
    return f"{one_line(part.label)} {', '.join(said)}"
