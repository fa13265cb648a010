"""Which frame may stand for a case: one from inside the body, never one from outside, where a face or a name may be."""

from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import Ms


def poster_time(case: Case) -> Ms | None:
    """The middle of the first tag that the vocabulary says is seen inside the body only, in ms; None without any.

    The middle, as the instruments come in and go out at the edges. Tags that nobody has confirmed do not count, and
    a time does not that another tag of a phase or step covers which may be seen from outside.
    """
    found = poster_range(case)
    return None if found is None else found.end


def poster_range(case: Case) -> Interval | None:
    """From when on, up to the frame at `poster_time`, any frame may stand for the case; all of it is in one recording.

    For whoever has only some of the frames, such as thumbnails.
    """
    for tag in case.tags:
        if tag.confirmed and _is_inside(case, tag):
            at = _middle(case, tag)
            if at is not None and _is_safe(case, at):
                border = case.borders[case.spot(at).recording]
                return Interval(max(tag.start, border, *_ends_of_others(case, tag.start, at)), at)
    return None


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


def _ends_of_others(case: Case, start: Ms, end: Ms) -> list[Ms]:
    """Where what may be seen from outside ends between two times."""
    others = (tag for tag in case.tags if tag.start < end and case.is_exclusive(tag) and not _is_inside(case, tag))
    return [tag.end for tag in others if tag.end is not None and start < tag.end <= end]
