"""The sentences that go with every published summary, said once."""

REMINDER = (
    "Teaching material: not a clinical record and not made by a medical device. Consent and the privacy rules "
    "of the place apply. Titles and notes are not checked for names."
)

NO_TIME = "1980-01-01T00:00:00Z"
"""The time of writing that a workbook states: none, as the days around an operation may tell whose it was."""

DEFINITIONS = (
    ("Visit", "One uninterrupted stay: tags of one step that overlap or touch are one visit."),
    ("Total", "Time under the step; no millisecond is counted twice."),
    ("Share", "Total divided by the length of the whole case."),
    ("Longest, mean, median", "Of the visits of the step; a moment is a visit of no length."),
    ("First at", "Start of the first visit on the case's clock, which begins with the first recording."),
    ("Untagged", "Time of the case that no tag of this kind covers."),
    ("Under two tags at once", "Time that two or more tags of this kind cover together; it is part of both totals."),
    (
        "Time by place",
        "Time of all tags that name a field of the retina, each millisecond once; one over several counts in each.",
    ),
    ("Transition", "A visit of one step followed by a visit of another, in order of their starts."),
)
"""Short forms of docs/measures.md."""
