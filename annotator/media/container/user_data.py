"""What a recorder wrote into the stream of pictures itself: the user data of H.264 and HEVC.

It is nothing that is seen, and it goes wherever the pictures go that are not encoded anew (ISO/IEC 14496-10, annex D;
ISO/IEC 23008-2, annex D: messages of type 5, each begun by an identifier of 16 bytes).
"""

from collections.abc import Iterator
from itertools import islice
from typing import Final

from av.bitstream import BitStreamFilterContext
from av.container import InputContainer
from av.error import FFmpegError
from av.video.stream import VideoStream

_MESSAGES: Final = {
    "h264": ("h264_mp4toannexb,filter_units=pass_types=6", 1),
    "hevc": ("hevc_mp4toannexb,filter_units=pass_types=39-40", 2),
}
"""By codec: what leaves nothing but the messages of a packet, each behind a start code, and the bytes of their head."""

_OF_A_PROGRAM: Final = (
    bytes.fromhex("dc45e9bde6d948b7962cd820d923eeef"),
    bytes.fromhex("2ca2de09b51747dbbb55a4fe7fc2fc4e"),
)
"""Identifiers under which the encoders x264 and x265 write their version and settings, and nobody is named."""

_IDENTIFIER: Final = 16
_UNREGISTERED: Final = 5
_FIRST: Final = 5
"""Packets that are looked at; whoever writes such data does so with the first picture, mostly with each."""


def user_data(container: InputContainer, picture: VideoStream) -> Iterator[bytes]:
    """What stands in the first pictures, identifier first; not what an encoder says of its own settings."""
    if picture.codec_context.codec.name not in _MESSAGES:
        return
    only_messages, head = _MESSAGES[picture.codec_context.codec.name]
    try:
        filters = BitStreamFilterContext(only_messages, picture)
        for packet in islice(container.demux(picture), _FIRST):
            for filtered in filters.filter(packet):
                for unit in bytes(filtered).split(b"\0\0\1"):
                    yield from _of_somebody(unit[head:].replace(b"\0\0\3", b"\0\0"))
    except FFmpegError:
        return  # damage, which is said where the pictures themselves are read


def _of_somebody(unit: bytes) -> Iterator[bytes]:
    at = 0
    while at + 2 < len(unit):
        kind, at = _number(unit, at)
        size, at = _number(unit, at)
        data, at = unit[at : at + size], at + size
        if kind == _UNREGISTERED and len(data) > _IDENTIFIER and not data.startswith(_OF_A_PROGRAM):
            yield data


def _number(unit: bytes, at: int) -> tuple[int, int]:
    """A number as these messages write it, 255 for each byte but the last, and where it ends."""
    value = 0
    while at < len(unit) and unit[at] == 0xFF:
        value, at = value + 0xFF, at + 1
    return (value + unit[at], at + 1) if at < len(unit) else (value, at)
