"""The picture that stands for a case before it plays: never from outside the body, where a face or a name may be."""

from collections.abc import Sequence

from annotator.media.pictures.drawn_still import play_sign
from annotator.media.pictures.frames import frame_at
from annotator.media.pictures.still_file import jpeg_of
from annotator.media.survey import Survey
from annotator.model.case import Case, Tag
from annotator.model.timecode import Ms

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


def poster_time(case: Case) -> Ms | None:
    """The middle of the first tag that the vocabulary says is seen inside the body only, in ms; None without any.

    The middle, as the instruments come in and go out at the edges. Tags that nobody has confirmed do not count, and
    a time does not that another tag of a phase or step covers which may be seen from outside.
    """
    middles = (_middle(case, tag) for tag in case.tags if tag.confirmed and _is_inside(case, tag))
    return next((at for at in middles if at is not None and _is_safe(case, at)), None)


def _middle(case: Case, tag: Tag) -> Ms | None:
    """None for a tag without any time in the recording."""
    time = case.range_of(tag)
    start, end = max(time.start, 0), min(time.end, case.duration)
    return (start + end) // 2 if start < end else None


def _is_inside(case: Case, tag: Tag) -> bool:
    concept = case.concept_of(tag)
    return concept is not None and case.vocabulary.is_inside(concept)


def _is_safe(case: Case, at: Ms) -> bool:
    return all(_is_inside(case, tag) for tag in case.covering(at) if case.is_exclusive(tag))
