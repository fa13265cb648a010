"""Chapter files for parsers that nobody here wrote: flat, nested, filled, and with titles that mean harm."""

from collections.abc import Sequence
from html import unescape
from typing import NamedTuple

from msgspec.structs import replace

from annotator.formats.captions.webvtt import dumps_chapters
from annotator.measure.chapters import Chapter, plan
from annotator.model.case import Case
from annotator.model.timecode import HOUR, Ms
from annotator.plain_text import one_line
from tests.formats.captions.test_webvtt_writing import HOSTILE
from tests.measure.cases import case, tag, vocabulary

TAGS = (
    tag("ports", 0, 10_010),
    tag("infusion", 10_010, 15_000),
    tag("core", 20_021, 60_000),
    tag("shave", 60_000, 80_000),
    tag("removal", 90_000, HOUR + 1),
    tag("bimanual", 12_000, 30_000),
    tag("lift", 25_000, 30_000),
)


class File(NamedTuple):
    """A chapter file and the cues that a parser has to find in it."""

    name: str
    text: str
    cues: Sequence["Expected"]


class Expected(NamedTuple):
    id: str
    start: Ms
    end: Ms
    title: str


def files() -> list[File]:
    """Each kind of file that is published."""
    plain = case(*TAGS, duration=2 * HOUR)
    return [
        _file("flat", plan(plain).chapters),
        _file("filled", plan(plain, fill=True).chapters),
        _file("nested", plan(plain, nested=True).chapters),
        _file("hostile", plan(hostile()).chapters),
        _file("empty", ()),
    ]


def hostile() -> Case:
    """A case whose vocabulary has the worst labels, one for each of as many steps."""
    base = vocabulary()
    step = base.by_notation["core"]
    concepts = tuple(
        replace(step, iri=f"{base.iri}#h{at}", notation=f"h{at}", pref_label={"en": label} if label else {})
        for at, label in enumerate(HOSTILE)
    )
    tags = tuple(
        replace(tag("core", at * 1_000, at * 1_000 + 999), id=f"urn:h:{at}", concept=one.iri)
        for at, one in enumerate(concepts)
    )
    return replace(case(*tags), vocabulary=replace(base, concepts=(*base.concepts, *concepts)))


def _file(name: str, chapters: Sequence[Chapter]) -> File:
    cues = [
        Expected(f"chapter-{number}", one.start, one.end, one_line(one.title) or "–")
        for number, one in enumerate(chapters, start=1)
    ]
    return File(name, dumps_chapters(chapters), cues)


def decoded(text: str) -> str:
    """The payload of a cue as its title, for parsers that leave the references in."""
    return unescape(text)
