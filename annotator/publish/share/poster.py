"""The picture that stands for a case before it plays: never from outside the body, where a face or a name may be."""

from collections.abc import Sequence

from annotator.measure.poster_time import poster_time
from annotator.media.pictures.frames import frame_at
from annotator.media.pictures.still_file import jpeg_of, play_sign
from annotator.media.survey import Survey
from annotator.model.case import Case

_USUAL = (1_280, 720)


def poster(case: Case, sources: Sequence[Survey]) -> bytes:
    """A JPEG of the frame at `poster_time`; where there is none, a drawn picture of the recording's shape.

    Raises MediaError where the frame can't be read.
    """
    at = poster_time(case)
    if at is None:
        first = case.recordings[0]
        width, height = (first.width, first.height) if first.width and first.height else _USUAL
        return jpeg_of(play_sign(width, height))
    spot = case.spot(at)
    source = sources[spot.recording]
    return jpeg_of(frame_at(source.path, spot.at, source.frames))
