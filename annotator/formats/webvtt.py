"""WebVTT, the W3C's text format for chapters and captions: https://www.w3.org/TR/webvtt1/ .

Written to the letter of the syntax for chapters; read with webvtt-py, which forgives what players forgive.
"""

from collections.abc import Iterable, Sequence

import msgspec

from annotator.errors import InvalidFile
from annotator.formats.one_line import one_line
from annotator.formats.titled import Titled
from annotator.model.interval import Interval
from annotator.model.timecode import Ms, clock

PROVENANCE = "Teaching material, not a clinical record. Times are frame times of the recording, rounded up to the ms."


class Cue(msgspec.Struct, frozen=True):
    """One cue: its time in ms, its plain text (no markup, no references), its id or nothing."""

    start: Ms
    end: Ms
    text: str
    id: str = ""


def dumps_chapters(chapters: Iterable[Titled]) -> str:
    """A chapter file of titled ranges, with a note on what it is; each cue has an id, `chapter-1` and on."""
    ordered = sorted(chapters, key=lambda chapter: (chapter.start, -chapter.end))
    cues = [
        Cue(chapter.start, chapter.end, chapter.title, f"chapter-{number}")
        for number, chapter in enumerate(ordered, start=1)
    ]
    return dumps(cues, notes=(PROVENANCE,))


def dumps(cues: Iterable[Cue], notes: Sequence[str] = ()) -> str:
    """A conforming file of chapters: cues by start and the longer first, each disjoint from or inside another.

    Texts become one line each. Raises InvalidFile for cues that no chapter file can hold: without
    length, before zero, crossing one another, of the same range, or with an id used twice.
    """
    ordered = sorted(cues, key=lambda cue: (cue.start, -cue.end))
    faults = [*_faults(ordered)]
    if faults:
        raise InvalidFile("These cues make no chapter file", faults)
    blocks = ["WEBVTT", *(f"NOTE {_inert(one_line(note))}" for note in notes), *map(_block, ordered)]
    return "\n\n".join(blocks) + "\n"


def _block(cue: Cue) -> str:
    timings = f"{clock(cue.start)} --> {clock(cue.end)}"
    title = _escaped(one_line(cue.text))
    return "\n".join(filter(None, (_inert(one_line(cue.id)), timings, title)))


def _escaped(text: str) -> str:
    """Text as chapter title text: the character references that the syntax asks for, and `&gt;` against `-->`."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _inert(text: str) -> str:
    """Text for a comment or an id, where there are no references: without the arrow that would make it a cue."""
    return text.replace("-->", "→")


def _faults(ordered: Sequence[Cue]) -> Iterable[str]:
    """Why cues in order are no chapters: sentences with their times."""
    around: list[Cue] = []
    ids: set[str] = set()
    for cue in ordered:
        name = f"“{one_line(cue.text)}” at {clock(cue.start)}" if cue.start >= 0 else f"“{one_line(cue.text)}”"
        if cue.start < 0 or cue.end <= cue.start:
            yield f"{name} has no length or starts before zero"
        if cue.id and cue.id in ids:
            yield f"{name} has an id that another cue has: {cue.id}"
        ids.add(cue.id)
        while around and around[-1].end <= cue.start:
            around.pop()
        if around and (Interval(around[-1].start, around[-1].end) == Interval(cue.start, cue.end)):
            yield f"{name} has the same range as “{one_line(around[-1].text)}”"
        elif around and cue.end > around[-1].end:
            yield f"{name} crosses “{one_line(around[-1].text)}”"
        around.append(cue)
