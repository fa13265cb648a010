"""Key frames, small, as thumbnails: pictures that decode on their own, so that hours of them come quickly."""

from collections import deque
from collections.abc import Generator, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from fractions import Fraction
from itertools import islice
from math import floor
from pathlib import Path
from typing import Final, NamedTuple

import av
from av.container import InputContainer
from av.video.codeccontext import VideoCodecContext
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotator.media.container.clock import zero_of
from annotator.media.container.decoding import TrackPacket, demuxed, fields_may_part
from annotator.media.container.opening import exact, opened, picture_stream, ticks
from annotator.media.pictures.picture import Renderer, Rgb
from annotator.model.timecode import LATEST, SECOND, Ms, from_ticks
from annotator.progress import Progress, silent

_HOP: Final[Ms] = 1_000
"""Key frames wanted this far apart are sought one by one; nearer ones are met sooner by reading on."""

_DECODED_EARLIER: Final[Ms] = 200
"""Some containers look for the time at which a key frame is decoded, which lies before the one at which it is shown."""

_TRANSPORT_LANDS_LATE: Final[Ms] = 1_000
"""A seek in a transport stream finds any packet, not a key frame: the one wanted may lie before it."""

_REPORTS_EVERY: Final = 64
"""Packets between two reports of progress, at most."""


class KeyFrame(NamedTuple):
    """A picture that decodes on its own, and when it is shown."""

    time: Ms
    picture: Rgb


def key_frames(
    path: Path, width: int, every: Ms = 0, start: Ms = 0, progress: Progress = silent
) -> Generator[KeyFrame, None, None]:
    """The key frames of the recording in order, `width` pixels wide, at least `every` ms apart.

    They begin with one at or before `start`, where the container can find it. `progress` counts bytes of the
    file, and is told also while no key frame comes. Stopping early costs nothing: one is made ready while
    another is decoded, and no more are held. In AVI with B pictures, which has no presentation stamps, times
    may be a few frames early.
    """
    with ThreadPoolExecutor(1, "film-strip") as beside, opened(path) as container:
        stream = picture_stream(container, path)
        render = Renderer(exact(stream.sample_aspect_ratio), width)
        coming: deque[tuple[Ms, Future[Rgb]]] = deque()
        if start > 0:
            _seek(container, stream, start)
        for time, frame in _decoded_keys(container, stream, every, progress):
            coming.append((max(time, 0), beside.submit(render, frame)))
            if len(coming) > 1:
                ready, picture = coming.popleft()
                yield KeyFrame(ready, picture.result())
        for ready, picture in coming:
            yield KeyFrame(ready, picture.result())


def _seek(container: InputContainer, stream: VideoStream, start: Ms) -> None:
    """Stand at or before the key frame shown at `start`; at the very start where stamps are not to be trusted."""
    if container.format.name == "mpeg":
        return
    if container.format.name == "mpegts":
        start -= _TRANSPORT_LANDS_LATE
    stamp = floor((Fraction(start, SECOND) + zero_of(container, stream)) / ticks(stream))
    with suppress(av.error.FFmpegError, OSError):
        container.seek(stamp, stream=stream)


def _decoded_keys(
    container: InputContainer, stream: VideoStream, every: Ms, progress: Progress
) -> Iterator[tuple[Ms, VideoFrame]]:
    zero, tick, due = zero_of(container, stream), ticks(stream), -LATEST
    # After a seek, stamps of program streams are not to be trusted.
    hops = every >= _HOP and container.format.name != "mpeg"
    for packets, stamp in _key_packets(container, stream, progress):
        time = from_ticks(stamp, tick, zero)
        frame = _decode_alone(stream.codec_context, packets) if time >= due else None
        if frame is None:
            continue
        yield time, frame
        due = time + every
        if hops:
            with suppress(av.error.FFmpegError, OSError):
                hop = floor(Fraction(every - _DECODED_EARLIER, SECOND) / tick)
                container.seek(stamp + hop, stream=stream, backward=False)


def _key_packets(
    container: InputContainer, stream: VideoStream, progress: Progress
) -> Iterator[tuple[list[TrackPacket], int]]:
    """The packets of each key frame that is shown, two where they may be fields, with its stamp."""
    count = 2 if fields_may_part(stream) else 1
    with suppress(av.error.FFmpegError, OSError):
        packets = demuxed(container, stream)
        for number, packet in enumerate(packets):
            if number % _REPORTS_EVERY == 0:
                progress(packet.pos or 0, max(container.size, 1))
            stamp = packet.pts
            if stamp is None and packet.dts is not None:
                # AVI: a decoder hands pictures out as many packets late as it holds back.
                stamp = packet.dts + stream.codec_context.reorder_depth * (packet.duration or 0)
            if packet.size and packet.is_keyframe and not packet.is_discard and stamp is not None:
                yield [packet, *islice(packets, count - 1)], stamp


def _decode_alone(context: VideoCodecContext, packets: list[TrackPacket]) -> VideoFrame | None:
    """The picture in the packets, without waiting for those that follow."""
    try:
        frames = [frame for packet in (*packets, None) for frame in context.decode(packet)]
    except av.error.FFmpegError:
        return None
    finally:
        context.flush_buffers()
    return frames[0] if frames else None
