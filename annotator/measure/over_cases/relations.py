"""How ranges of one thing lie to the occurrences of another in the same case. Definitions: docs/measures.md."""

from bisect import bisect_right
from collections.abc import Sequence
from enum import StrEnum

from annotator.measure.stays import Stay


class Relation(StrEnum):
    """Within: wholly inside one occurrence. During: shares time with any. After: begins once the first has ended."""

    WITHIN = "within"
    DURING = "during"
    AFTER = "after"


def holds(relation: Relation, one: Stay, others: Sequence[Stay]) -> bool:
    """Whether a range lies so to occurrences, which are disjoint and in order, as `stays` makes them.

    A moment lies in an occurrence that begins with it or before and ends later.
    """
    match relation:
        case Relation.WITHIN:
            return _is_within(one, others)
        case Relation.DURING:
            return bool(shared_parts(one, others))
        case Relation.AFTER:
            return bool(others) and one[0] >= min(end for _, end in others)


def shared_parts(one: Stay, others: Sequence[Stay]) -> list[Stay]:
    """What of a range lies in occurrences, in order; of a moment in one, the moment."""
    start, end = one
    if start == end:
        return [one] if _is_within(one, others) else []
    first = max(bisect_right(others, start, key=lambda stay: stay[0]) - 1, 0)
    parts: list[Stay] = []
    for begin, finish in others[first:]:
        if begin >= end:
            break
        if max(begin, start) < min(finish, end):
            parts.append((max(begin, start), min(finish, end)))
    return parts


def _is_within(one: Stay, others: Sequence[Stay]) -> bool:
    before = bisect_right(others, one[0], key=lambda stay: stay[0])
    if not before:
        return False
    end = others[before - 1][1]
    return one[1] <= end and one[0] < end
