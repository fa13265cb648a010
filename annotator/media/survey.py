"""What a recording was found to be when it was opened: read once, and handed on to whoever takes parts out of it."""

from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

from annotator.media.container.clock import zero_of
from annotator.media.container.decoding import first_picture
from annotator.media.container.opening import UNKNOWN, codec_of, opened, picture_stream, preferred, ticks
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from annotator.media.pictures.picture import Orientation, orientation_of
from annotator.model.timecode import SECOND
from annotator.plain_text import plain
from annotator.progress import Progress, silent


class Survey(NamedTuple):
    """A recording's frames, its clock and the tracks that a player takes.

    zero     the recording's zero on the container's own clock, in ms; versions of FFmpeg differ in where they say
             that a container starts, so only its own clock can be agreed on
    tick     seconds that a unit of the picture's stamps lasts
    picture  number of the track of pictures
    sound    number of the track of sound, or None where there is none whose form is known
    size     width and height of the stored picture, which `orientation` turns
    codecs   FFmpeg's names of the forms of picture and sound
    """

    path: Path
    frames: FrameIndex
    zero: Fraction
    tick: Fraction
    picture: int
    sound: int | None
    size: tuple[int, int]
    orientation: Orientation
    codecs: tuple[str, ...]

    @property
    def unheard(self) -> tuple[str, ...]:
        """A sentence where there is sound that cannot be decoded."""
        if UNKNOWN not in self.codecs:
            return ()
        return (f"the sound of “{plain(self.path.name)}” cannot be decoded, so the clip has none",)


def survey(path: Path, frames: FrameIndex | None = None, progress: Progress = silent) -> Survey:
    """Survey a recording; MediaError where it is none.

    Its frames are read where they are not given, which for an hour of some containers takes seconds; `progress`
    counts bytes of the file then.
    """
    frames = frames or read_index(path, progress)
    with opened(path) as container:
        picture = picture_stream(container, path)
        tracks = container.streams.audio
        sound = preferred(tracks) if tracks else None
        return Survey(
            path,
            frames,
            zero=zero_of(container, picture) * SECOND,
            tick=ticks(picture),
            picture=picture.index,
            sound=sound.index if sound is not None and codec_of(sound) != UNKNOWN else None,
            size=(picture.codec_context.width, picture.codec_context.height),
            orientation=orientation_of(first_picture(container, picture, path)),
            codecs=tuple(codec_of(track) for track in (picture, sound) if track is not None),
        )
