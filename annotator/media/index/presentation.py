"""Which packets become pictures on screen, and when: what a player does with odd streams, in numbers.

Each rule was measured on QMediaPlayer and on a full decode by FFmpeg:

- A frame that an edit list cuts away, or that only helps others, is not shown.
- A stream cut out of a longer one begins with pictures that cannot be decoded. Nothing is shown before the first
  key frame, and of the pictures that follow it in the file but precede it on screen only those that decode.
- In interlaced H.264 (AVCHD) each field may be a packet of its own; two make one picture, at the first one's time.
- AVI holds no presentation stamps. A decoder that reorders hands pictures out some packets late, and players show each
  at the decoding stamp of the packet that brought it out; the last few get no stamp and are not shown.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from annotator.media.container.clock import Stamps
from annotator.media.container.packets import NO_STAMP, Mark, Packets

_JUMP: Final = 2
"""Seconds back that are a fault; reordered pictures lie within a fraction of one."""

_PART: Final = Fraction(3, 4)
"""A packet that lasts less than this share of a picture is a field."""


_ALIKE: Final = 0.25
"""How far, in parts, the usual duration may be from the usual distance before durations count for nothing."""

_LONE_PICTURE: Final = Fraction(1, 25)
"""Seconds for a picture that is alone and says nothing of its duration."""


@dataclass(frozen=True, eq=False)
class Presentation:
    """The pictures on screen.

    stamps  when each appears, increasing, in ticks
    usual   the usual distance between two, in ticks
    end     when the last one ends
    notes   what was odd
    """

    stamps: Stamps
    usual: int
    end: int
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Coding:
    """What the rules must know of a track beside its packets.

    tick     seconds of one unit of the stamps
    picture  seconds that one picture lasts by the codec's own account; None where its fields cannot come apart
    delay    pictures that a decoder holds back, where the container has no presentation stamps (AVI); else None
    first    stamp of the first picture that decodes, where `begins_unsure` asked for it; else None
    """

    tick: Fraction
    picture: Fraction | None = None
    delay: int | None = None
    first: int | None = None


def begins_unsure(packets: Packets) -> bool:
    """Whether only decoding can tell with which picture the track begins."""
    first_key = _first_key(packets)
    later = packets.shown[first_key:][~packets.marked(Mark.HIDDEN)[first_key:]]
    return bool(len(later)) and bool((later[later != NO_STAMP] < packets.shown[first_key]).any())


def shown(packets: Packets, coding: Coding) -> Presentation:
    """The pictures that a player shows of a track; none at all where nothing has a stamp."""
    stamps, keep, notes = packets.shown, ~packets.marked(Mark.HIDDEN), []
    if coding.delay is not None and bool((stamps == NO_STAMP).any()):
        stamps = _handed_out_late(packets.decoded, coding.delay)
    if coding.picture is not None:
        keep &= ~_second_fields(stamps, packets.durations, coding.picture / coding.tick)
    keep &= stamps != NO_STAMP
    decodable = _decodable(packets, stamps, coding)
    if lost := int((keep & ~decodable).sum()):
        notes.append(f"It begins in the middle of a group of frames; {counted(lost)} at its start cannot be shown")
    keep &= decodable
    on_screen = stamps[keep]
    if len(on_screen) and int((np.maximum.accumulate(on_screen) - on_screen).max()) * coding.tick > _JUMP:
        notes.append("Its time stamps jump back; times after the jump are not reliable, so convert it to MP4 first")
    in_order, first_at = np.unique(on_screen, return_index=True)
    if repeated := len(on_screen) - len(in_order):
        notes.append(f"{counted(repeated)} at the same time as another, not counted")
    if damaged := int((packets.marked(Mark.DAMAGED) & keep).sum()):
        notes.append(f"{counted(damaged)} damaged")
    lasts = packets.durations[keep][first_at]
    usual = _usual_distance(in_order, coding)
    return Presentation(in_order, usual, _end(in_order, lasts, usual), tuple(notes))


def _first_key(packets: Packets) -> int:
    """Index of the first packet that decodes on its own; the first of all where none is marked so."""
    return int(np.argmax(packets.marked(Mark.KEY)))


def _decodable(packets: Packets, stamps: Stamps, coding: Coding) -> NDArray[np.bool_]:
    first_key = _first_key(packets)
    decodable = np.arange(len(packets)) >= first_key
    if coding.delay is None:
        decodable &= stamps >= (packets.shown[first_key] if coding.first is None else coding.first)
    return decodable


def _handed_out_late(decoded: Stamps, delay: int) -> Stamps:
    """The stamp at which the picture of each packet is handed out, if pictures come `delay` packets late."""
    late = np.full_like(decoded, NO_STAMP)
    late[: max(len(decoded) - delay, 0)] = decoded[delay:]
    return late


def are_parts(durations: Stamps, picture: Fraction) -> NDArray[np.bool_]:
    """Which packets last too short a time for a whole picture of `picture` ticks."""
    return (durations > 0) & (durations < float(picture * _PART))


def _second_fields(stamps: Stamps, durations: Stamps, picture: Fraction) -> NDArray[np.bool_]:
    """Marks each packet that only completes the picture begun by the packet before it; `picture` in ticks."""
    part = float(picture * _PART)
    parts = are_parts(durations, picture)
    second = np.zeros(len(stamps), dtype=np.bool_)
    half_done = False
    for at in np.flatnonzero(parts):
        follows = at > 0 and (stamps[at] == NO_STAMP or 0 < int(stamps[at]) - int(stamps[at - 1]) < part)
        half_done = half_done and parts[at - 1]
        second[at] = half_done and follows
        half_done = not second[at]
    return second


def _usual_distance(stamps: Stamps, coding: Coding) -> int:
    if len(stamps) > 1:
        return int(np.median(np.diff(stamps)))
    return max(round((coding.picture or _LONE_PICTURE) / coding.tick), 1)


def _end(stamps: Stamps, durations: Stamps, usual: int) -> int:
    """Where the last picture ends: after its own duration, unless durations have nothing to do with the distances."""
    if not len(stamps):
        return 0
    own = int(durations[-1])
    said = int(np.median(durations))
    trusted = own > 0 and (len(stamps) == 1 or abs(said - usual) <= usual * _ALIKE)
    return int(stamps[-1]) + (own if trusted else usual)


def counted(count: int) -> str:
    """So many pictures, in words."""
    return "1 frame" if count == 1 else f"{count} frames"
