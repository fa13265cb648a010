"""WebVTT, the W3C's text format for chapters and captions: https://www.w3.org/TR/webvtt1/ .

Written to the letter of the syntax for chapters; read with webvtt-py, which forgives what players forgive.
"""

import re
from collections.abc import Iterable, Sequence
from html import unescape
from typing import TYPE_CHECKING

import msgspec

from annotator.errors import InvalidFile
from annotator.formats.captions.titled import Titled
from annotator.model.interval import Interval
from annotator.model.timecode import LATEST, Ms, clock
from annotator.plain_text import one_line, plain, quoted

if TYPE_CHECKING:
    from webvtt import Caption

PROVENANCE = "Teaching material, not a clinical record. Times are frame times of the recording, rounded up to the ms."


class Cue(msgspec.Struct, frozen=True):
    """One cue: its time in ms, its plain text (no markup, no references), its id or nothing."""

    start: Ms
    end: Ms
    text: str
    id: str = ""


class Captions(msgspec.Struct, frozen=True):
    """Cues as read, in the order of the file; sentences on what is wrong in it; sentences on what was guessed."""

    cues: tuple[Cue, ...]
    faults: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


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

    Texts become one line each; one of nothing becomes a dash, since a chapter needs a title. Raises
    InvalidFile for cues that no chapter file can hold: without length, before zero, crossing one
    another, of the same range, or with an id used twice.
    """
    ordered = sorted(cues, key=lambda cue: (cue.start, -cue.end))
    faults = [*_faults(ordered)]
    if faults:
        raise InvalidFile("These cues do not make a chapter file", faults)
    blocks = ["WEBVTT", *(f"NOTE {_inert(one_line(note))}" for note in notes if one_line(note)), *map(_block, ordered)]
    return "\n\n".join(blocks) + "\n"


def _block(cue: Cue) -> str:
    timings = f"{clock(cue.start)} --> {clock(cue.end)}"
    title = _escaped(one_line(cue.text) or "–")
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
            yield f"{name} has the id of another cue: {cue.id}"
        ids.add(cue.id)
        while around and around[-1].end <= cue.start:
            around.pop()
        if around and (Interval(around[-1].start, around[-1].end) == Interval(cue.start, cue.end)):
            yield f"{name} has the same range as “{one_line(around[-1].text)}”"
        elif around and cue.end > around[-1].end:
            yield f"{name} crosses “{one_line(around[-1].text)}”"
        around.append(cue)


# --- reading ---------------------------------------------------------------------------------------------

_LINE_END = re.compile(r"\r\n|\r|\n")
_TIME = r"(?:\d{1,10}:)?[0-5]\d:[0-5]\d\.\d{3}(?!\d)"
_TIMINGS = re.compile(rf"[ \t\f]*{_TIME}[ \t\f]*-->[ \t\f]*{_TIME}.*", re.ASCII)
"""A time line as the W3C's parser takes it; webvtt-py itself also takes `0:1:2.5` and the like."""

_TAG = re.compile(r"<[^>]*(?:>|\Z)")
_ZEROS = re.compile(r"(?<=&#)0+(?=\d)|(?<=&#[xX])0+(?=[\dA-Fa-f])", re.ASCII)
_ENDLESS = re.compile(r"&#(?:\d{8,}|[xX][\dA-Fa-f]{7,});?", re.ASCII)
"""A reference to a number beyond the last character (U+10FFFF), however many digits it has: it means U+FFFD (HTML)."""

MOST_CUES = 100_000
"""Cues of one file; a whole day of captions has some ten thousand."""


def loads(data: bytes | str) -> Captions:
    """The cues that a player would show, as plain text, with a fault for each malformed time.

    A cue with a malformed time is left out, as players do, and never read as another time. Raises
    InvalidFile where the file does not begin as WebVTT must.
    """
    import webvtt  # only where there is a file to read: it takes a while to load

    text = data.decode("utf-8", "replace") if isinstance(data, bytes) else data
    lines = _LINE_END.split(text.removeprefix("\ufeff").replace("\0", "\ufffd"))
    if not re.match(r"WEBVTT(?:[ \t]|\Z)", lines[0]):
        raise InvalidFile("This is not a WebVTT file", ["it must start with WEBVTT, in UTF-8"])
    refuse_too_many(text)
    faults: list[str] = []
    for at, line in enumerate(lines):
        if at > 0 and "-->" in line and not _TIMINGS.fullmatch(line):
            faults.append(f"line {at + 1}: “{plain(line, 80)}” is not a time line such as 00:01.000 --> 00:02.000")
            lines[at] = "-->"
    cues = tuple(_cue(caption) for caption in webvtt.from_string("\n".join(lines)).captions)
    faults += [fault for cue in cues if (fault := time_fault(cue))]
    return Captions(cues, tuple(faults))


def refuse_too_many(text: str) -> None:
    """Raises InvalidFile for captions that would take long to read and that nobody has made by hand."""
    if text.count("-->") > MOST_CUES:
        raise InvalidFile("These captions can't be read", [f"there are more than {MOST_CUES:,} cues; split them"])


def time_fault(cue: Cue) -> str | None:
    """What is wrong with a cue's times, as far as a case is concerned; None where all is well."""
    if cue.start < cue.end <= LATEST:
        return None
    name = f"{quoted(cue.text)} at {clock(cue.start)}"
    if max(cue.start, cue.end) > LATEST:
        return f"{name} is later than any case lasts"
    return f"{name} ends at {clock(cue.end)}, not after its start"


def _cue(caption: "Caption") -> Cue:
    """A library's caption as a cue: tags taken out, character references decoded."""
    text = unescape(_ENDLESS.sub("\ufffd", _ZEROS.sub("", _TAG.sub("", caption.raw_text))))
    start, end = caption.start_time.in_milliseconds(), caption.end_time.in_milliseconds()
    return Cue(start, end, text, caption.identifier or "")
