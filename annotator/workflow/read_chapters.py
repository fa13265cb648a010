"""Chapters that came with a recording, as rows of tags: from a caption file or from inside a container."""

import re
from collections.abc import Iterable
from pathlib import Path, PurePath

from annotator.errors import AmbiguousName, InvalidFile, UnknownName
from annotator.formats.captions import subrip, webvtt
from annotator.formats.tables.tags_csv import TagRow
from annotator.media.probe import probe
from annotator.model.case import Case, Spot
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import Vocabulary
from annotator.progress import Progress, silent
from annotator.store.files import read_bounded
from annotator.workflow.known_frames import known

LARGEST = 32 * 1024 * 1024
"""Bytes of a caption file; hours of captions stay below 1 MB."""


def rows_from_captions(path: Path, case: Case) -> tuple[list[TagRow], tuple[str, ...]]:
    """Rows from a WebVTT or SubRip file, its titles to be matched as step names; and what to know of the file.

    Of several recordings a file is counted from the one that has its name, else from the start of the case. Raises
    InvalidFile with every fault where the file has any: a misread time would tag the wrong moment.
    """
    raw = read_bounded(path, LARGEST)
    captions = subrip.loads(raw) if path.suffix.lower() == ".srt" else webvtt.loads(raw)
    if captions.faults:
        raise InvalidFile(str(path), list(captions.faults))
    number = next((at for at, one in enumerate(case.recordings) if PurePath(one.path).stem == path.stem), 0)
    zero = case.borders[number]
    rows = _rows(((zero + cue.start, zero + cue.end, cue.text) for cue in captions.cues), case.vocabulary)
    counted = f"its times count from the start of recording {number + 1}, which has the same name"
    return rows, (*captions.warnings, *([counted] if number else []))


def rows_from_container(path: Path, case: Case, progress: Progress = silent) -> tuple[list[TagRow], tuple[str, ...]]:
    """Rows from the chapters inside a recording, counted from where it stands in the case; and which were left out.

    A file that is none of the case's recordings is taken to start with the case. Raises InvalidFile
    where there are no chapters inside, MediaError where it is no recording.
    """
    content, frames = known(path, progress=progress)
    facts = probe(path, frames)
    if not facts.chapters:
        left_out = [f"{note[0].lower()}{note[1:]}" for note in facts.on_chapters]
        raise InvalidFile(str(path), left_out or ["there are no chapters inside; give a .csv, .vtt or .srt file"])
    zero = next((case.at(Spot(at, 0)) for at, one in enumerate(case.recordings) if one.fingerprint == content), 0)
    rows = _rows(((zero + one.start, zero + one.end, one.title) for one in facts.chapters), case.vocabulary)
    return rows, facts.on_chapters


def _rows(chapters: Iterable[tuple[Ms, Ms, str]], vocabulary: Vocabulary) -> list[TagRow]:
    return [
        TagRow(where=f"chapter {number}", start=clock(start), end=clock(end), step=name)
        for number, (start, end, title) in enumerate(chapters, start=1)
        for name in _names(" ".join(title.split()), vocabulary)
    ]


def _names(title: str, vocabulary: Vocabulary) -> list[str]:
    """The steps that a title names: itself, or the parts of a title such as `Tamponade: Gas` made of two ranges.

    None for a title without a letter or figure: MP4 knows no gap between chapters, `annotator embed` fills it
    with a dash.
    """
    if not any(character.isalnum() for character in title):
        return []
    parts = re.split(r"[:,] ", title)
    return (
        parts if not vocabulary.knows(title) and all(_means_something(part, vocabulary) for part in parts) else [title]
    )


def _means_something(name: str, vocabulary: Vocabulary) -> bool:
    try:
        return bool(vocabulary.meaning(name))
    except (UnknownName, AmbiguousName):
        return False
