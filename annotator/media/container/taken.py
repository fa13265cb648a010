"""Which forms of picture and sound a container takes as they are."""

from collections.abc import Collection
from pathlib import Path
from typing import Final

from annotator.errors import MediaError
from annotator.plain_text import plain

_WEBM: Final = frozenset({"vp8", "vp9", "av1", "opus", "vorbis"})
"""All that it takes (the WebM project's container guidelines)."""

_IN_NEITHER: Final = frozenset({"vp8", "rawvideo", "wmav2", "adpcm_ms", "adpcm_ima_wav"})
_OLD: Final = frozenset({"h263", "theora", "wmv1", "wmv2", "msmpeg4v3", "flv1", "dvvideo", "huffyuv", "cinepak"})
_REFUSED: Final[dict[str, frozenset[str]]] = {
    "mp4": _IN_NEITHER | _OLD | {"prores", "qtrle", "pcm_u8", "pcm_mulaw", "pcm_alaw", "amr_nb"},
    "mov": _IN_NEITHER | {"av1", "vp9", "opus", "flac"},
    "matroska": frozenset({"qtrle"}),
}
"""What the others were measured not to take: each form was copied into each container by FFmpeg 8, and read again.
Some are written without a complaint and cannot be read."""

_ENDINGS: Final = {"mp4": ".mp4", "mov": ".mov", "matroska": ".mkv", "webm": ".webm"}


def takes(muxer: str, codecs: Collection[str]) -> bool:
    """Whether the container takes all of these forms, as far as is known."""
    return not _refused(muxer, codecs)


def refuse_codecs(path: Path, codecs: Collection[str], muxer: str) -> None:
    """MediaError where a recording with these forms cannot be copied into the container; it says which would do."""
    refused = _refused(muxer, codecs)
    if refused:
        fitting = [ending for other, ending in _ENDINGS.items() if takes(other, codecs)]
        what = f"use a {' or '.join(fitting)} file instead" if fitting else "re-encode it"
        raise MediaError(
            f"“{plain(path.name)}” contains {' and '.join(refused)}, which a {_ENDINGS[muxer]} file can't hold; {what}"
        )


def _refused(muxer: str, codecs: Collection[str]) -> list[str]:
    if muxer == "webm":
        return sorted(set(codecs) - _WEBM)
    return sorted(set(codecs) & _REFUSED[muxer])
