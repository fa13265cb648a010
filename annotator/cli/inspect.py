"""`annotator inspect`: what a recording is."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from annotator.cli.verb import EXISTING, emit, progress, verb

if TYPE_CHECKING:
    from annotator.model.recording import MediaFacts

VARIABLE = "variable"


@verb("inspect", "annotator inspect recording.mp4")
@click.argument("video", type=EXISTING)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def command(video: Path, as_json: bool) -> None:
    """Say what a recording is: its length, frames, picture, sound, chapters, and what is odd about it.

    The file is only read. Nothing it refers to is opened.
    """
    from annotator.formats import json_text
    from annotator.media.probe import probe

    with progress("reading") as report:
        facts = probe(video, progress=report)
    emit(json_text.dumps(plain_facts(facts)) if as_json else aligned_facts(facts), None)


def plain_facts(facts: "MediaFacts") -> dict[str, Any]:
    """The facts under the names that other programs rely on."""
    return {
        "duration_ms": facts.duration,
        "frames": facts.frames,
        "frame_rate": _ratio(facts.frame_rate, "/") if facts.frame_rate else VARIABLE,
        "width": facts.width,
        "height": facts.height,
        "display_aspect": _ratio(facts.display_aspect, ":"),
        "rotation": facts.rotation,
        "video_codec": facts.video_codec,
        "audio_codec": facts.audio_codec,
        "bit_depth": facts.bit_depth,
        "interlaced": facts.interlaced,
        "start_ms": facts.start,
        "chapters": [
            {"start_ms": chapter.start, "end_ms": chapter.end, "title": chapter.title, "level": chapter.level}
            for chapter in facts.chapters
        ],
        "tags": dict(facts.tags),
        "warnings": list(facts.warnings),
    }


def aligned_facts(facts: "MediaFacts") -> str:
    """The facts for reading, one a line, what is odd at the end."""
    from annotator.model.timecode import clock

    rate = f"{float(facts.frame_rate):.6g} a second" if facts.frame_rate else f"at a {VARIABLE} rate"
    turned = f", turned by {facts.rotation}°" if facts.rotation else ""
    scan = ", interlaced" if facts.interlaced else ""
    rows = [
        ("length", clock(facts.duration)),
        ("frames", f"{facts.frames}, {rate}"),
        ("picture", f"{facts.width} × {facts.height}, shown {_ratio(facts.display_aspect, ':')}{turned}{scan}"),
        ("codec", f"{facts.video_codec}, {facts.bit_depth} bit"),
        ("sound", facts.audio_codec or "none"),
        ("starts at", clock(facts.start) if facts.start > 0 else "0"),
        *((name, text) for name, text in _listed(facts)),
    ]
    width = max(len(name) for name, _ in rows)
    return "\n".join(f"{name:<{width}}  {text}" for name, text in rows)


def _listed(facts: "MediaFacts") -> Iterator[tuple[str, str]]:
    from annotator.model.timecode import clock

    lists = (
        (
            "chapters",
            [
                f"{clock(chapter.start)} to {clock(chapter.end)}  {'  ' * chapter.level}{chapter.title}"
                for chapter in facts.chapters
            ],
        ),
        ("tags", [f"{name}: {value}" for name, value in facts.tags.items()]),
        ("note", list(facts.warnings)),
    )
    for name, lines in lists:
        for number, line in enumerate(lines):
            yield "" if number else name, line


def _ratio(value: Fraction, between: str) -> str:
    return f"{value.numerator}{between}{value.denominator}"
