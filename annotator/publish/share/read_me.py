"""The text that tells whoever gets a shared folder what is in it."""

from annotator.model.case import UNTITLED, Case
from annotator.plain_text import one_line
from annotator.publish.report.wording import REMINDER
from annotator.publish.share.share_page import PRIVACY


def dumps(case: Case, recording: str) -> str:
    """Plain text; `recording` is the name of the file beside it."""
    title = one_line(case.title or UNTITLED)
    listed = (
        ("index.html", "open this in a browser: player, chapters, timeline, durations, places on the retina"),
        (recording, "the recording, with the chapters in it"),
        ("chapters.vtt", "the chapters as WebVTT, for players and web pages"),
        ("durations.xlsx", "how long each step took, as a workbook"),
        ("poster.jpg", "the picture that the player shows before it plays"),
    )
    wide = max(len(name) for name, _ in listed)
    return "\n".join(
        [
            title,
            "",
            *(f"{name.ljust(wide)}  {what}" for name, what in listed),
            "",
            "Keep the files together in one folder. Nothing has to be installed, and nothing is sent anywhere.",
            "",
            "Before you pass this on",
            *(f"- {line}" for line in (REMINDER, *PRIVACY)),
            "",
        ]
    )
