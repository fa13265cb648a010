"""The kind of a recording that is published: a copy with chapters, a clip."""

from pathlib import Path
from typing import Final

from annotator.media.container.sniff import demuxer_for
from annotator.media.container.target import ENDINGS
from annotator.store.ways_out import Kind, head_of


def _is_recording(path: Path) -> bool:
    return demuxer_for(head_of(path)) is not None


def _never(_path: Path) -> bool:
    """Of a recording nobody can tell what it is worth to its owner."""
    return False


RECORDING: Final = Kind("a recording", (".mp4", *sorted(ENDINGS - {".mp4"})), _is_recording, _never)
