"""Telling what a file is from its first bytes, never from its name.

The demuxer is then named outright, so that FFmpeg never guesses: a playlist called `case.mp4` stays
a playlist, and a recording called `take%03d.png` stays a recording. Let in are containers that recorders,
cameras and archives write and that refer to nothing outside themselves: MP4 and MOV, Matroska and WebM,
AVI, MPEG-TS (AVCHD's .MTS too) and MPEG-PS, and, read but never written, WMV (ASF), FLV and Ogg.
"""

import re
from typing import Final

HEAD_BYTES: Final = 65_536
"""How much of the file the functions here want to see."""

_MOV_BOXES: Final = frozenset(
    b"ftyp moov mdat free skip wide pnot styp sidx moof udta uuid junk emsg prft ssix".split()
)
_PICTURE_BRANDS: Final = frozenset(b"heic heix heim heis mif1 msf1 avif avis".split())
_TS_PACKETS: Final = (188, 192, 204)
_TS_PROOF: Final = 5
"""Sync bytes in a row, a packet apart, that make a transport stream."""

_PLAYLISTS: Final = re.compile(rb"(?i)#EXTM3U|#EXTINF|ffconcat|\[playlist\]|RTSPtext|(<\?xml[^>]*>\s*)?<(MPD|asx|smil)")
_CAPTIONS: Final = re.compile(rb"WEBVTT|\d+\s+\d\d:\d\d:\d\d[,.]\d|\[Script Info\]|Dialogue:")
_PICTURES: Final = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"BM", b"II*\0", b"MM\0*")
_SOUNDS: Final = (b"ID3", b"fLaC", b"\xff\xfb", b"\xff\xf3", b"\xff\xf1", b"\xff\xf9")
_BARE_STREAMS: Final = (b"\0\0\1\xb3", b"\0\0\0\1", b"\0\0\1\x09", b"\0\0\1\x67")


def demuxer_for(head: bytes) -> str | None:
    """FFmpeg's name of the demuxer for a file that begins so, or None if it is no container that is let in."""
    if head[4:8] in _MOV_BOXES and head[8:12] not in _PICTURE_BRANDS:
        return "mov"
    if head.startswith(b"\x1aE\xdf\xa3"):
        return "matroska"
    if head.startswith(b"RIFF") and head[8:11] == b"AVI":
        return "avi"
    if head.startswith(b"0&\xb2u\x8ef\xcf\x11"):
        return "asf"
    if head.startswith(b"FLV\1"):
        return "flv"
    if head.startswith(b"OggS"):
        return "ogg"
    if _is_transport_stream(head):
        return "mpegts"
    return "mpeg" if _is_program_stream(head) else None


def what_else(head: bytes) -> str:
    """A phrase for a file that no demuxer here fits: what it seems to be, and what to try."""
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if _PLAYLISTS.match(text):
        return "is a list that points to other files, not a recording; open the recordings themselves"
    if _CAPTIONS.match(text):
        return "contains captions, not a recording; open the recording they belong to"
    if head[128:132] == b"DICM":
        return "is a DICOM file; export the recording from the archive as MP4 first"
    if head.startswith(_PICTURES) or head[8:12] == b"WEBP" or head[8:12] in _PICTURE_BRANDS:
        return "is a picture, not a recording"
    if head.startswith(_SOUNDS) or head[8:12] == b"WAVE":
        return "contains sound only, no picture"
    if head.startswith(_BARE_STREAMS):
        return "is a raw stream without time stamps; put it into an MP4 or MKV container first"
    if _is_text(head):
        return "is text, not a recording"
    return "is not a recording that can be read; MP4, MOV, MKV, WebM, AVI, MPEG and MTS files can"


def _is_transport_stream(head: bytes) -> bool:
    """MPEG-2 systems (ISO/IEC 13818-1): packets of one size, each beginning with 0x47; junk before is passed over."""
    at = head.find(b"G")
    while at >= 0:
        for size in _TS_PACKETS:
            if head[at : at + size * _TS_PROOF : size] == b"G" * _TS_PROOF:
                return True
        at = head.find(b"G", at + 1)
    return False


def _is_program_stream(head: bytes) -> bool:
    """A pack header (ISO/IEC 13818-1 or 11172-1) within reach, or a packet of sound or picture right at the start."""
    at = head.find(b"\0\0\1\xba")
    if at >= 0:
        marker = head[at + 4 : at + 5]
        return bool(marker) and (marker[0] >> 6 == 0b01 or marker[0] >> 4 == 0b0010)
    return head.startswith(b"\0\0\1") and len(head) > 3 and (head[3] == 0xBB or 0xC0 <= head[3] <= 0xEF)


def _is_text(head: bytes) -> bool:
    return b"\0" not in head and sum(byte < 9 or 13 < byte < 32 for byte in head[:1_000]) == 0
