"""The page of a shareable folder: player, chapters, timeline, tables, retina chart; it asks nothing of the network."""

from collections.abc import Sequence

import msgspec

from annotator.measure.chapters import Chapter
from annotator.measure.durations import summarise
from annotator.model.case import Case
from annotator.model.retina import place_in_words
from annotator.model.timecode import SECOND, Ms, span
from annotator.model.vocabulary import DEFAULT_LANGUAGE
from annotator.publish.report.phase_colours import PLAIN
from annotator.publish.report.summary_html import REPORT, digest, template, values
from annotator.publish.report.wording import REMINDER

GENERATOR = "surgical-step-annotator shared folder"
"""By which a page of this program is known again."""

PRIVACY = (
    "Not checked for patient identifiers: watch and listen to all of it first.",
    "What the recording's file says about itself (title, date, place, device) is not in this copy. "
    "Notes on tags, authors and file names are not in this folder.",
)

_DEEPEST = 4
"""The style sheet has as many levels of chapters."""


class Files(msgspec.Struct, frozen=True):
    """The names of the files beside the page."""

    recording: str
    poster: str
    others: tuple[str, ...]


class Entry(msgspec.Struct, frozen=True):
    """Something on the page to go to: when, as a clock and as ms, what, and where it stands in the list."""

    clock: str
    start: Ms
    end: Ms
    title: str
    fill: str
    level: int = 1
    place: str = ""


def dumps(
    case: Case,
    chapters: Sequence[Chapter],
    files: Files,
    notes: Sequence[str] = (),
    facet: str = "step",
    language: str = DEFAULT_LANGUAGE,
) -> str:
    """The page; `notes` are sentences on what was left out."""
    filled = values(summarise(case, facet, language=language), case, language)
    style = "".join((REPORT / name).read_text(encoding="utf-8") for name in ("summary.css", "share.css"))
    script = (REPORT / "share.js").read_text(encoding="utf-8")
    fills: dict[str, str] = filled["fills"]
    return template("share.html").render(
        **filled,
        generator=GENERATOR,
        files=files,
        chapters=[
            _entry(one.start, one.end, one.title, fills.get(one.notation, PLAIN.fill), min(one.level, _DEEPEST))
            for one in chapters
        ],
        placed=_placed(case, fills, language),
        reminder=REMINDER,
        privacy=PRIVACY,
        notes=notes,
        style=style,
        style_hash=digest(style),
        script=script,
        script_hash=digest(script),
    )


def _placed(case: Case, fills: dict[str, str], language: str) -> list[Entry]:
    """The tags whose place on the retina was said, in order of time."""
    found = []
    for tag in case.tags:
        concept = case.concept_of(tag)
        if tag.place and concept is not None:
            fill, end = fills[concept.notation], case.range_of(tag).end
            found.append(_entry(tag.start, end, concept.label(language), fill, place=place_in_words(tag.place)))
    return found


def _entry(start: Ms, end: Ms, title: str, fill: str, level: int = 1, place: str = "") -> Entry:
    begun = max(start, 0) // SECOND * SECOND  # as clocks do: a second shows until the next one begins
    return Entry(span(begun), start, end, title, fill, level, place)
