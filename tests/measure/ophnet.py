"""An importer for the phase labels of OphNet (Hu et al., ECCV 2024; labels under the MIT licence).

Nothing of the data set is in this repository: the one test that uses it reads a folder named by the
environment and skips without. Times come in seconds with decimals and become whole ms by `decimal`.
"""

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Facet, Vocabulary

IRI = "https://surgical-step-annotator.example/vocab/ophnet"


class Segment(NamedTuple):
    video: str
    start: Ms
    end: Ms
    phase: str


def segments(path: Path) -> Iterator[Segment]:
    """The rows of `OphNet2024_loca_all.csv`, which begins with a byte order mark."""
    with path.open(encoding="utf-8-sig", newline="") as lines:
        for row in csv.DictReader(lines):
            start, end = (int(Decimal(row[key]) * 1000) for key in ("start", "end"))
            yield Segment(row["video_id"], start, end, f"phase_{row['phase_id']}")


def cases(path: Path) -> dict[str, Case]:
    """One case for each video; phases may overlap in these labels, so their facet is not exclusive.

    Rows that end before they start hold no time and are left out.
    """
    by_video: dict[str, list[Segment]] = {}
    for segment in segments(path):
        by_video.setdefault(segment.video, []).append(segment)
    vocabulary = _vocabulary({one.phase for found in by_video.values() for one in found})
    return {video: _case(video, found, vocabulary) for video, found in by_video.items()}


def _vocabulary(phases: set[str]) -> Vocabulary:
    concepts = tuple(Concept(f"{IRI}#{phase}", phase, "phase", {"en": phase}) for phase in sorted(phases))
    return Vocabulary(IRI, "ophnet", "2024", {"en": "OphNet"}, (Facet("phase", {"en": "Phase"}),), concepts)


def _case(video: str, found: list[Segment], vocabulary: Vocabulary) -> Case:
    tags = [
        Tag(f"urn:ophnet:{video}:{number}", f"{IRI}#{one.phase}", one.start, one.end)
        for number, one in enumerate(found)
        if one.end > one.start
    ]
    length = max((one.end for one in found), default=0)
    return Case(f"urn:ophnet:{video}", video, vocabulary, (Recording("urn:r", video, "", length),), in_order(tags))
