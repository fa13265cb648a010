"""Reading the frame index of a recording: the time of every picture, without decoding them."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
from av.container import Container, InputContainer
from av.video.stream import VideoStream

from annotator.errors import MediaError
from annotator.media.container.clock import sound_lead, to_ms, zero_of
from annotator.media.container.decoding import decoded, fields_do_part, fields_may_part
from annotator.media.container.opening import exact, opened, picture_stream, ticks
from annotator.media.container.packets import Packets, read_packets
from annotator.media.container.sample_table import PLAIN_CODECS, counts_in_nothing, packets_in_table
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.frame_times import stamp_of
from annotator.media.index.presentation import Coding, Presentation, are_parts, begins_unsure, counted, shown
from annotator.media.index.rate import constant_rate
from annotator.media.index.truncation import broken_off, ends_early, gaps
from annotator.model.timecode import HOUR, LATEST, from_ticks
from annotator.plain_text import plain
from annotator.progress import Progress, silent


def read_index(path: Path, progress: Progress = silent) -> FrameIndex:
    """The time of every picture that a player shows of the recording; MediaError where there is none.

    What is cut short or damaged is read as far as it goes, and said in the index's notes. `progress`
    counts bytes of the file.
    """
    with opened(path) as container:
        stream = picture_stream(container, path)
        zero = zero_of(container, stream)
        if _has_table(container) and counts_in_nothing(path, stream.id):
            raise MediaError(
                f"“{plain(path.name)}” is damaged: its time unit has no length, so the times of its frames "
                "are unknown; export it again, or copy it from the recorder again"
            )
        listed = len(stream.index_entries) if _has_table(container) else 0
        packets = _packets(path, container, stream, progress)
        pictures = shown(packets, _coding(path, container, stream, packets)) if len(packets) else None
        if pictures is None or not len(pictures.stamps):
            raise MediaError(
                f"“{plain(path.name)}” contains no frame that can be shown; copy it from the recorder again"
            )
        index = _index(path, stream, zero, pictures)
        missing = broken_off(path, packets, listed, index.end) or ends_early(container, stream, zero, index)
        return replace(index, notes=(*index.notes, *gaps(index), *filter(None, [missing])), sound_lead=sound_lead(path))


def _packets(path: Path, container: InputContainer, stream: VideoStream, progress: Progress) -> Packets:
    settled = None
    if _has_table(container) and stream.codec_context.codec.canonical_name in PLAIN_CODECS:
        settled = packets_in_table(path, stream.id)
    return read_packets(container, stream, progress) if settled is None else settled


def _has_table(container: Container) -> bool:
    return container.format.name.startswith("mov")


def _coding(path: Path, container: InputContainer, stream: VideoStream, packets: Packets) -> Coding:
    return Coding(
        tick=ticks(stream),
        picture=_picture_of_fields(path, stream, packets),
        delay=stream.codec_context.reorder_depth if container.format.name == "avi" else None,
        first=_first_decoded(path) if begins_unsure(packets) else None,
    )


def _picture_of_fields(path: Path, stream: VideoStream, packets: Packets) -> Fraction | None:
    """How long a picture lasts, in seconds, where its fields come in packets of their own."""
    rate: Fraction | None = stream.codec_context.framerate
    if not rate or not fields_may_part(stream) or not are_parts(packets.durations, 1 / (rate * ticks(stream))).any():
        return None
    with opened(path) as container:
        return 1 / rate if fields_do_part(container, picture_stream(container, path)) else None


def _first_decoded(path: Path) -> int | None:
    """The stamp of the first picture that a decoder hands out."""
    with opened(path) as container:
        frame = next(decoded(container, picture_stream(container, path)), None)
        return None if frame is None else stamp_of(frame)


def _index(path: Path, stream: VideoStream, zero: Fraction, pictures: Presentation) -> FrameIndex:
    tick = ticks(stream)
    first, end = (from_ticks(stamp, tick, zero) for stamp in (int(pictures.stamps[0]), _listed_end(stream, pictures)))
    if first < -LATEST or end > LATEST:
        raise MediaError(f"“{plain(path.name)}” has time stamps beyond {LATEST // HOUR} hours; convert it to MP4 first")
    times = np.unique(to_ms(pictures.stamps, tick, zero))
    declared = [exact(rate) for rate in (stream.guessed_rate, stream.average_rate, stream.base_rate)]
    rate = constant_rate(pictures.stamps, tick, declared)
    merged = len(pictures.stamps) - len(times)
    notes = (f"{counted(merged)} within a millisecond of another, not counted",) if merged else ()
    return FrameIndex(times, max(end, int(times[-1]) + 1), rate, (*pictures.notes, *notes))


def _listed_end(stream: VideoStream, pictures: Presentation) -> int:
    """Where the last picture ends, in ticks: MP4 and MOV list it, and an edit list may cut into the picture."""
    if _has_table(stream.container) and stream.start_time is not None and stream.duration:
        listed = stream.start_time + stream.duration
        last = int(pictures.stamps[-1])
        if last < listed <= max(pictures.end, last + pictures.usual):
            return listed
    return pictures.end
