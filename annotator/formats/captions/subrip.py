"""SubRip captions, read only. There is no standard; the time line is `H:MM:SS,mmm --> H:MM:SS,mmm`.

Read here rather than by a library: those tried take a time with two decimals, or 100 hours, for another
time without a word. Here every line with an arrow is a time line to the letter, or a fault.
"""

import codecs
import re
from collections.abc import Iterator

import msgspec

from annotator.errors import InvalidFile
from annotator.formats.captions.webvtt import Captions, Cue, refuse_too_many, time_fault
from annotator.plain_text import plain

_TIME = r"(\d{1,4}):([0-5]?\d):([0-5]?\d)[,.](\d{3})"
_TIMINGS = re.compile(rf"\s*{_TIME}\s*-->\s*{_TIME}(?:\s.*)?", re.ASCII)
_DIGIT = re.compile(r"\d", re.ASCII)
_LINE_END = re.compile(r"\r\n|\r|\n")
_MARKUP = re.compile(r"</?(?:b|i|u|s|font)(?:\s[^<>]*)?>|\{\\[^{}]*\}", re.IGNORECASE)
"""What players of SubRip take for markup, not text (common practice, no source).

It does not reach over another opening bracket, or a text of nothing but those would be searched anew from each.
"""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
"""Byte order marks; those of UTF-32 before those of UTF-16, which they begin with."""


class _Block(msgspec.Struct):
    """Lines of one cue as they are gathered; `timings` None while they belong to none."""

    timings: tuple[int, int] | None
    lines: list[str]


def loads(data: bytes | str) -> Captions:
    """The cues in the order of the file, with a fault for each malformed time, which gives no cue.

    Raises InvalidFile where there is no cue and no fault: such a text is something else.
    """
    text, warnings = (data, []) if isinstance(data, str) else _decoded(data)
    refuse_too_many(text)
    faults: list[str] = []
    cues = tuple(
        Cue(*block.timings, _MARKUP.sub("", "\n".join(block.lines)).strip())
        for block in _blocks(text.replace("\0", "\ufffd"), faults)
        if block.timings is not None
    )
    if not cues and not faults and text.strip():
        raise InvalidFile("This is not a SubRip file", ["no line reads 0:00:01,000 --> 0:00:02,000"])
    faults += [fault for cue in cues if (fault := time_fault(cue))]
    return Captions(cues, tuple(faults), tuple(warnings))


def _blocks(text: str, faults: list[str]) -> Iterator[_Block]:
    """Cues as blocks; a line with an arrow starts one, and a number right before it is its number, not text."""
    block = _Block(None, [])
    for number, line in enumerate(_LINE_END.split(text.removeprefix("\ufeff")), start=1):
        if not _has_times(line):
            block.lines.append(line)
            continue
        if block.lines and _is_number(block.lines[-1]):
            block.lines.pop()
        yield block
        found = _TIMINGS.fullmatch(line)
        if found is None:
            faults.append(f"line {number}: “{plain(line, 80)}” is not a time line such as 0:00:01,000 --> 0:00:02,000")
        block = _Block((_ms(found.groups()[:4]), _ms(found.groups()[4:])) if found else None, [])
    yield block


def _has_times(line: str) -> bool:
    """Whether it holds an arrow that is meant for times: without a digit on either side it is text."""
    before, arrow, _ = line.rpartition("-->")
    behind = line.partition("-->")[2]
    return bool(arrow and (_DIGIT.search(before) or _DIGIT.search(behind)))


def _is_number(line: str) -> bool:
    digits = line.strip()
    return digits.isascii() and digits.isdecimal()


def _ms(fields: tuple[str, ...]) -> int:
    hours, minutes, seconds, thousandths = map(int, fields)
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def _decoded(data: bytes) -> tuple[str, list[str]]:
    """Text by its byte order mark, else as UTF-8, else as Windows-1252, which is said."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(encoding, "replace"), []
    for encoding, empty in (("utf-16-le", data[1::2]), ("utf-16-be", data[::2])):
        if empty.count(0) > len(data) // 4:  # the upper halves of Latin letters
            return data.decode(encoding, "replace"), ["the text has no encoding mark and was read as UTF-16"]
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        warning = "the text is not UTF-8 and was read as Windows-1252; if letters are wrong, save the file as UTF-8"
        return data.decode("cp1252", "replace"), [warning]
