"""The frame index kept from one time to the next, in a folder that may be deleted whenever one likes.

What is found there is believed only if it is whole and belongs to the very content; everything else is
read again. Not being able to keep it is no error: it only costs the time again.
"""

import hashlib
import json
import os
import tempfile
from contextlib import suppress
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Final

import numpy as np

from annotator.media.frame_index import FrameIndex
from annotator.media.index import read_index
from annotator.progress import Progress, silent

_VERSION: Final = 2
"""Raised whenever the index of the same file may come out differently."""

_DIGEST_BYTES: Final = hashlib.sha256().digest_size
"""Of the digest in front, by which a damaged file is known."""


def cached_index(path: Path, fingerprint: str, cache_folder: Path, progress: Progress = silent) -> FrameIndex:
    """The index of the recording at `path`, whose content has this fingerprint; read only if it is not kept yet."""
    kept = cache_folder / f"{hashlib.sha256(fingerprint.encode()).hexdigest()[:40]}.frames"
    index = _load(kept, fingerprint)
    if index is None:
        index = read_index(path, progress)
        with suppress(OSError):
            _save(kept, fingerprint, index)
    return index


def _load(kept: Path, fingerprint: str) -> FrameIndex | None:
    try:
        raw = kept.read_bytes()
        digest, content = raw[:_DIGEST_BYTES], raw[_DIGEST_BYTES:]
        if hashlib.sha256(content).digest() != digest:
            return None
        with np.load(BytesIO(content), allow_pickle=False) as arrays:
            about = json.loads(bytes(arrays["about"]))
            if (about["version"], about["fingerprint"]) != (_VERSION, fingerprint):
                return None
            rate = about["rate"] and Fraction(about["rate"])
            return FrameIndex(arrays["times"], about["end"], rate, tuple(about["notes"]), about["sound_lead"])
    except (OSError, ValueError, KeyError):
        return None


def _save(kept: Path, fingerprint: str, index: FrameIndex) -> None:
    """Write beside the final name and rename, so that no half-written file is ever found."""
    content = _packed(fingerprint, index)
    kept.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=kept.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(hashlib.sha256(content).digest() + content)
        Path(name).replace(kept)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _packed(fingerprint: str, index: FrameIndex) -> bytes:
    """The index as numpy's npz, with what is no array as JSON."""
    about = {
        "version": _VERSION,
        "fingerprint": fingerprint,
        "end": index.end,
        "rate": index.rate and str(index.rate),
        "notes": index.notes,
        "sound_lead": index.sound_lead,
    }
    packed = BytesIO()
    np.savez_compressed(packed, times=index.times, about=np.frombuffer(json.dumps(about).encode(), dtype=np.uint8))
    return packed.getvalue()
