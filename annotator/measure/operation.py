"""Operating time: from where the operation begins to where it ends, as the vocabulary says which steps bound it."""

from annotator.model.case import Case
from annotator.model.interval import Interval
from annotator.model.vocabulary import Bound, Concept


def operating_time(case: Case) -> Interval | None:
    """From the first start of a step that begins the operation to the last end of one that ends it, within the case.

    None where either is not tagged. A running tag does not end anything.
    """
    begins, ends = (case.vocabulary.bounding[bound] for bound in (Bound.BEGINS, Bound.ENDS))
    starts = [max(tag.start, 0) for tag in case.tags if tag.concept in begins and tag.start < case.duration]
    finishes = [min(tag.end, case.duration) for tag in case.tags if tag.concept in ends and tag.end is not None]
    if not starts or not finishes or max(finishes) <= min(starts):
        return None
    return Interval(min(starts), max(finishes))


def bounds(case: Case, bound: Bound) -> tuple[Concept, ...]:
    """The concepts of which the vocabulary says that they begin, or end, the operating time."""
    return tuple(concept for concept in case.vocabulary.concepts if concept.operating_time is bound)
