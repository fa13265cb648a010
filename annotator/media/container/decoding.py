"""Decoding past what is damaged."""

from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from os import cpu_count
from pathlib import Path
from typing import Final, TypeAlias

import av
from av.codec.context import ThreadType
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotator.errors import MediaError
from annotator.plain_text import plain

_PATIENCE: Final = 1_500
"""Packets in a row that may yield no picture before the rest is given up: a minute of a stream without key frames."""

_MOST_THREADS: Final = 4
"""Each more holds back one more picture, and memory for it."""

TrackPacket: TypeAlias = "Packet[VideoStream]"

_TRIED: Final = 120
_LOST: Final = 8
"""Packets to decode before it is said that fields part, and how many pictures may be missing for other reasons."""

_PROGRESSIVE: Final = 1
_TWO_FIELDS: Final = (2, 3, 4, 5)
"""FFmpeg's AVFieldOrder for pictures made of two fields."""


def is_interlaced(stream: VideoStream) -> bool:
    """Whether the track declares its pictures to be made of two fields."""
    return stream.codec_context.field_order in _TWO_FIELDS


def fields_may_part(stream: VideoStream) -> bool:
    """Whether the fields of a picture may come in packets of their own, as in AVCHD (H.264, 7.3.3: field_pic_flag)."""
    return stream.codec_context.codec.canonical_name == "h264" and stream.codec_context.field_order != _PROGRESSIVE


def fields_do_part(container: InputContainer, stream: VideoStream) -> bool:
    """Whether the beginning of the track yields fewer pictures than packets; the container then stands behind it."""
    sent = got = 0
    for packet in islice(demuxed(container, stream), _TRIED):
        if got or packet.is_keyframe:
            sent += not packet.is_discard
            with suppress(av.error.FFmpegError):
                got += len(packet.decode())
    with suppress(av.error.FFmpegError):
        got += len(stream.codec_context.decode(None))
    return sent - got > _LOST


def demuxed(container: InputContainer, stream: VideoStream) -> Iterator[TrackPacket]:
    """The track's packets from where the container stands, and an empty one at the end."""
    with suppress(IndexError):  # PyAV's last step, where tracks turned up on the way that it does not know
        yield from container.demux(stream)


def decoded(container: InputContainer, stream: VideoStream, patience: int = _PATIENCE) -> Iterator[VideoFrame]:
    """The pictures from where the container stands, as they are shown; what does not decode is passed over.

    After `patience` packets without a picture the rest is given up.
    """
    fruitless = 0
    try:
        for packet in demuxed(container, stream):
            fruitless += 1
            try:
                frames = packet.decode()
            except av.error.FFmpegError:
                frames = []
            if frames:
                fruitless = 0
                yield from frames
            elif fruitless > patience:
                return
    except (av.error.FFmpegError, OSError):
        return


def use_threads(container: InputContainer, stream: VideoStream) -> None:
    """Let several threads decode, but for AVI: its pictures are told by the packet that brought them out, which threads
    would blur.
    """
    if container.format.name != "avi":
        stream.codec_context.thread_type = ThreadType.AUTO
        stream.codec_context.thread_count = min(_MOST_THREADS, cpu_count() or 1)


def first_picture(container: InputContainer, stream: VideoStream, path: Path) -> VideoFrame:
    """The first picture that decodes, or MediaError."""
    frame = next(decoded(container, stream), None)
    if frame is None:
        raise MediaError(
            f"“{plain(path.name)}” contains no frame that can be decoded; "
            "it may be encrypted, damaged or cut off, so export it again"
        )
    return frame
