"""What is known of a recording, as plain values."""

from collections.abc import Mapping
from enum import StrEnum
from fractions import Fraction
from typing import Any, Final

import msgspec

from annotator.model.timecode import Ms

ENDINGS: Final = (".mp4", ".mov", ".m4v", ".mkv", ".webm", ".avi", ".ts", ".mts", ".m2ts", ".mpg", ".mpeg", ".vob")
"""What recorders and cameras call their files (common practice, no source); what a file holds is told from itself."""

OTHER_ENDINGS: Final = (".wmv", ".asf", ".flv", ".ogv")
"""Of recordings that are read where somebody names them, but not looked for in a folder."""


class Altered(StrEnum):
    """In what way a recording does not run as the operation did, so that its times are not the operation's."""

    CUT = "cut"
    SLOWED = "slowed down"
    SPED_UP = "sped up"


class View(StrEnum):
    """How a picture stands, or a chart: with 12 o'clock up, turned by 180 degrees, left and right exchanged, or both.

    A surgeon at the head of the table sees the eye turned (common practice, no source).
    """

    UPRIGHT = "upright"
    TURNED = "turned"
    MIRRORED = "mirrored"
    TURNED_AND_MIRRORED = "turned and mirrored"

    @property
    def is_turned(self) -> bool:
        return self in (View.TURNED, View.TURNED_AND_MIRRORED)

    @property
    def is_mirrored(self) -> bool:
        return self in (View.MIRRORED, View.TURNED_AND_MIRRORED)


class ContainerChapter(msgspec.Struct, frozen=True):
    """A chapter that came inside the recording's container; times in ms from the recording's zero.

    level  0 for one that lies in no other, 1 for one within the last of level 0 before it, and so on
    """

    start: Ms
    end: Ms
    title: str
    level: int = 0


class MediaFacts(msgspec.Struct, frozen=True):
    """What a recording is, as read from its file without decoding it all.

    duration       ms from the recording's zero to the end of its last frame
    frames         pictures that a player would show
    frame_rate     exact, frames a second; None where the distance between frames varies
    width, height  of the stored picture, in pixels, before rotation
    display_aspect width to height as a player shows it, rotation applied
    rotation       degrees clockwise by which a player turns the stored picture: 0, 90, 180, 270
    mirrored       whether it exchanges left and right before that
    bit_depth      of a luma or red sample
    start          ms of the container's own first time stamp, which players show as zero
    altered        in which ways its container says that it does not run as it was taken
    on_chapters    sentences about chapters inside that are left out, which `warnings` has too
    warnings       sentences about what is odd or damaged
    """

    duration: Ms
    frames: int
    frame_rate: Fraction | None
    width: int
    height: int
    display_aspect: Fraction
    rotation: int
    video_codec: str
    audio_codec: str | None
    bit_depth: int
    interlaced: bool
    start: Ms
    mirrored: bool = False
    chapters: tuple[ContainerChapter, ...] = ()
    on_chapters: tuple[str, ...] = ()
    tags: Mapping[str, str] = {}
    altered: tuple[Altered, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def display_height(self) -> int:
        """Pixels of the picture from top to bottom as a player shows it, rotation applied."""
        return self.width if self.rotation % 180 else self.height


class Recording(msgspec.Struct, frozen=True):
    """One file of a case.

    id           IRI by which tags point to it, whatever the file is called
    path         where it was last seen, with forward slashes, relative to the case file where possible
    fingerprint  ties the case to the file's content
    duration     ms, from its zero to the end of its last frame
    altered      in which ways it does not run as the operation did, in alphabetical order
    picture      how its picture stands; None where nobody has said
    extra        keys of the case file that this version does not know, kept as they came
    """

    id: str
    path: str
    fingerprint: str
    duration: Ms
    frame_rate: Fraction | None = None
    width: int = 0
    height: int = 0
    altered: tuple[Altered, ...] = ()
    picture: View | None = None
    extra: Mapping[str, Any] = {}
