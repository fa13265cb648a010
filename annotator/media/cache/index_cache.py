"""The frame index kept from one time to the next; read again where it is not kept whole."""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from annotator.media.cache.cache_files import keep, kept, place
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from annotator.progress import Progress, silent

_VERSION: Final = 4
"""Raised whenever the index of the same file may come out differently."""


def cached_index(path: Path, fingerprint: str, cache_folder: Path, progress: Progress = silent) -> FrameIndex:
    """The index of the recording at `path`, whose content has this fingerprint; read only if it is not kept yet."""
    file, about = place(cache_folder, fingerprint, ".frames"), {"version": _VERSION, "fingerprint": fingerprint}
    index = _unpacked(kept(file, about))
    if index is None:
        index = read_index(path, progress)
        keep(file, about, _packed(index))
    return index


def _packed(index: FrameIndex) -> dict[str, NDArray[Any]]:
    """The times, and what is no array as JSON."""
    rate = index.rate and str(index.rate)
    facts = {"end": index.end, "rate": rate, "notes": index.notes, "sound_lead": index.sound_lead}
    return {"times": index.times, "facts": np.frombuffer(json.dumps(facts).encode(), dtype=np.uint8)}


def _unpacked(arrays: dict[str, NDArray[Any]] | None) -> FrameIndex | None:
    if arrays is None:
        return None
    facts = json.loads(bytes(arrays["facts"]))
    rate = facts["rate"] and Fraction(facts["rate"])
    return FrameIndex(arrays["times"], facts["end"], rate, tuple(facts["notes"]), facts["sound_lead"])
