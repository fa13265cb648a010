"""`annotator inspect`: what a recording is."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from annotator.cli.verb import EXISTING, emit, progress, verb

if TYPE_CHECKING:
    from annotator.media.index.whole_decode import Decoded
    from annotator.model.recording import ContainerChapter, MediaFacts

VARIABLE = "variable"

_MOST_RANGES = 20
"""Lines of damaged places; as JSON there are all."""


@verb("inspect", "annotator inspect recording.mp4")
@click.argument("video", type=EXISTING)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
@click.option("--decode", "decodes", is_flag=True, help="Decode every frame, to find damage that only this shows.")
@click.pass_context
def command(ctx: click.Context, video: Path, as_json: bool, decodes: bool) -> None:
    """Describe a recording: length, frames, picture, sound, chapters, and anything unusual.

    The file is only read, and nothing it refers to is opened. With --decode, the exit status is 1 if frames are
    damaged; an hour of large pictures takes many minutes.
    """
    from annotator.formats import json_text
    from annotator.media.index.reader import read_index
    from annotator.media.index.whole_decode import decode_whole
    from annotator.media.probe import probe

    with progress("reading") as report:
        frames = read_index(video, report)
        facts = probe(video, frames)
    found = None
    if decodes:
        with progress("decoding") as report:
            found = decode_whole(video, frames, report)
    emit(json_text.dumps(plain_facts(facts, found)) if as_json else aligned_facts(facts, found), None)
    ctx.exit(1 if found and found.ranges else 0)


def plain_facts(facts: "MediaFacts", found: "Decoded | None" = None) -> dict[str, Any]:
    """The facts under the names that other programs rely on; `decoded` only where all was decoded."""
    decoded = {} if found is None else {"decoded": _plain_decoded(found)}
    return decoded | {
        "duration_ms": facts.duration,
        "frames": facts.frames,
        "frame_rate": _ratio(facts.frame_rate, "/") if facts.frame_rate else VARIABLE,
        "width": facts.width,
        "height": facts.height,
        "display_aspect": _ratio(facts.display_aspect, ":"),
        "rotation": facts.rotation,
        "mirrored": facts.mirrored,
        "video_codec": facts.video_codec,
        "audio_codec": facts.audio_codec,
        "bit_depth": facts.bit_depth,
        "interlaced": facts.interlaced,
        "start_ms": facts.start,
        "altered": list(facts.altered),
        "chapters": [
            {"start_ms": chapter.start, "end_ms": chapter.end, "title": chapter.title}
            | ({"level": chapter.level} if chapter.level else {})
            for chapter in facts.chapters
        ],
        "tags": dict(facts.tags),
        "warnings": list(facts.warnings),
    }


def _plain_decoded(found: "Decoded") -> dict[str, Any]:
    ranges = [{"start_ms": one.start, "end_ms": one.end, "frames": one.pictures} for one in found.ranges]
    return {"frames": found.pictures, "undecodable": found.lost, "damaged": found.broken, "ranges": ranges}


def aligned_facts(facts: "MediaFacts", found: "Decoded | None" = None) -> str:
    """The facts for reading, one a line, what is odd at the end."""
    from annotator.model.timecode import clock

    rate = f"{float(facts.frame_rate):.6g} fps" if facts.frame_rate else f"{VARIABLE} frame rate"
    turned = ", mirrored" * facts.mirrored + (f", turned by {facts.rotation}°" if facts.rotation else "")
    scan = ", interlaced" if facts.interlaced else ""
    rows = [
        ("length", clock(facts.duration)),
        ("frames", f"{facts.frames}, {rate}"),
        ("picture", f"{facts.width} × {facts.height}, shown {_ratio(facts.display_aspect, ':')}{turned}{scan}"),
        ("codec", f"{facts.video_codec}, {facts.bit_depth} bit"),
        ("sound", facts.audio_codec or "none"),
        ("starts at", clock(facts.start) if facts.start > 0 else "0"),
        *_listed("altered", facts.altered),
        *_listed("chapters", map(_chapter, facts.chapters)),
        *_listed("tags", (f"{name}: {value}" for name, value in facts.tags.items())),
        *_listed("note", facts.warnings),
        *_listed("decoded", () if found is None else _decoded(found)),
    ]
    width = max(len(name) for name, _ in rows)
    return "\n".join(f"{name:<{width}}  {text}" for name, text in rows)


def _listed(name: str, lines: Iterable[str]) -> Iterator[tuple[str, str]]:
    """One row for each line, the name before the first."""
    for number, line in enumerate(lines):
        yield "" if number else name, line


def _chapter(chapter: "ContainerChapter") -> str:
    from annotator.model.timecode import clock

    return f"{clock(chapter.start)} to {clock(chapter.end)}  {'  ' * chapter.level}{chapter.title}"


def _decoded(found: "Decoded") -> Iterator[str]:
    from annotator.model.timecode import clock

    if not found.ranges:
        yield f"all {found.pictures} frames decode"
        return
    lost = f"{_pictures(found.lost)} {'does' if found.lost == 1 else 'do'} not decode" if found.lost else ""
    broken = f"{_pictures(found.broken)} {'is' if found.broken == 1 else 'are'} damaged" if found.broken else ""
    yield f"{' and '.join(filter(None, (lost, broken)))}, of {found.pictures}:"
    for one in found.ranges[:_MOST_RANGES]:
        yield f"{clock(one.start)} to {clock(one.end)}, {_pictures(one.pictures)}"
    if len(found.ranges) > _MOST_RANGES:
        yield f"and {len(found.ranges) - _MOST_RANGES} more ranges; --json lists them all"
    yield "frames after each range may look wrong up to the next key frame"


def _pictures(count: int) -> str:
    return "1 frame" if count == 1 else f"{count} frames"


def _ratio(value: Fraction, between: str) -> str:
    return f"{value.numerator}{between}{value.denominator}"
