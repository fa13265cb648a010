"""The page of a shareable folder: player, chapters, timeline and table in one file that asks nothing of the network."""

import json
from collections.abc import Sequence

from annotator.measure.chapters import Chapter
from annotator.measure.durations import summarise
from annotator.model.case import Case
from annotator.publish.summary_html import REPORT, digest, template, values
from annotator.publish.timeline_lane import GUTTER, WIDTH
from annotator.publish.wording import REMINDER

GENERATOR = "surgical-step-annotator shared folder"
"""By which a page of this program is known again."""

PRIVACY = (
    "Nobody and nothing has looked for a patient’s identity in the picture and the sound: watch all of it first.",
    "What the file of the recording said of itself (title, date, place, device) is not in this copy. "
    "Notes on tags, authors and names of files are not in this folder.",
)


def dumps(case: Case, chapters: Sequence[Chapter], facet: str, recording: str, notes: Sequence[str]) -> str:
    """The page; `recording` is the name of the file beside it, `notes` are sentences on what was left out."""
    filled = values(summarise(case, facet), case, "en")
    style = "".join((REPORT / name).read_text(encoding="utf-8") for name in ("summary.css", "share.css"))
    script = (REPORT / "share.js").read_text(encoding="utf-8")
    return template("share.html").render(
        **filled,
        generator=GENERATOR,
        recording=recording,
        reminder=REMINDER,
        privacy=PRIVACY,
        notes=notes,
        style=style,
        style_hash=digest(style),
        script=script,
        script_hash=digest(script),
        data=_data(case, chapters),
    )


def _data(case: Case, chapters: Sequence[Chapter]) -> str:
    """JSON for inside a script element, which nothing but its own end tag can end: so no `<` stands in it."""
    listed = [{"start": one.start, "end": one.end, "title": one.title} for one in chapters]
    told = {"chapters": listed, "duration": case.duration, "width": WIDTH, "gutter": GUTTER}
    return json.dumps(told).replace("<", "\\u003c")
