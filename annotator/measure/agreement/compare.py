"""Two people's tags of one recording, one category at a time, as the figures that docs/measures.md defines."""

from collections.abc import Mapping, Sequence
from typing import Final

import msgspec

from annotator.measure.agreement.account import account, clipped, common_time, in_one_vocabulary, letter
from annotator.measure.agreement.boundaries import Boundaries, boundaries
from annotator.measure.agreement.chance import Chance, Share, Table, beyond_chance, table_of, without_untagged
from annotator.measure.agreement.moments import Moments, compare_moments
from annotator.measure.agreement.overlap import Overlap, overlaps
from annotator.measure.agreement.segmental import edit, hits
from annotator.measure.agreement.spans import Piece, Span, by_name, pieces
from annotator.model.case import Case
from annotator.model.interval import Interval, total
from annotator.model.timecode import SECOND, Ms
from annotator.uncollected import uncollected

TOLERANCE: Final[Ms] = 2 * SECOND
"""Within which two boundaries, or two moments, are taken for the same one (our definition)."""


class Agreement(msgspec.Struct, frozen=True):
    """How far two cases agree in a category.

    is_exclusive   whether the category holds one tag at a time; else there is no kappa, edit or confusion
    within         the time compared: all that both recordings have, on the clock of the first
    whole          over all of it; to have tagged nothing is an answer too
    tagged         over the time that at least one of them has tagged, which is `tagged_time`
    edit, f1       from 0 to 1, f1 by percent of intersection over union; None where neither has tagged anything
    iou            by notation
    confusion      in ms, by what the first and what the second says, None for nothing; longest first
    disagreements  the longest first
    labels         by notation
    """

    facet: str
    is_exclusive: bool
    within: Interval
    whole: Chance
    tagged: Chance
    tagged_time: Ms
    edit: Share
    f1: Mapping[int, Share]
    iou: Mapping[str, Overlap]
    boundaries: Boundaries
    moments: Moments
    confusion: tuple[tuple[str | None, str | None, Ms], ...]
    disagreements: tuple[Piece, ...]
    labels: Mapping[str, str]
    notes: tuple[str, ...] = ()


def compare(a: Case, b: Case, facet: str = "step", offset: Ms = 0) -> Agreement:
    """Compare `b` with `a`, the reference; what is at 0 in `b` is at `offset` ms in `a`.

    Both are read in one vocabulary. Raises UnknownName for a facet that it lacks, InvalidEdit where the recordings
    have no time in common.
    """
    with uncollected():
        (a, b), carried = in_one_vocabulary([a, b])
        return _compared(a, b, carried, facet, offset)


def _compared(a: Case, b: Case, carried: Sequence[str], facet: str, offset: Ms) -> Agreement:
    first, second = account(a, facet), account(b, facet, offset)
    within = common_time([first, second])
    one, other = clipped(first.marked, within), clipped(second.marked, within)
    exclusive = a.vocabulary.facet(facet).exclusive
    sides = pieces([one.spans, other.spans], within) if exclusive else []
    table = table_of(sides)
    return Agreement(
        facet=facet,
        is_exclusive=exclusive,
        within=within,
        whole=beyond_chance(table),
        tagged=beyond_chance(without_untagged(table)),
        tagged_time=total(Interval(start, end) for start, end, _ in (*one.spans, *other.spans)),
        edit=edit(one.spans, other.spans) if exclusive else None,
        f1={level: found.f1 for level, found in hits(one.spans, other.spans).items()},
        iou=_in_order(a, overlaps(one.spans, other.spans)),
        boundaries=boundaries(one.spans, other.spans, TOLERANCE, within),
        moments=compare_moments(one, other, TOLERANCE),
        confusion=_longest_first(table),
        disagreements=_disagreements(sides if exclusive else _each_name(one.spans, other.spans, within)),
        labels={concept.notation: concept.label() for concept in a.vocabulary.concepts},
        notes=(
            *carried,
            *(f"{letter(at)}: {note}" for at, person in enumerate((first, second)) for note in person.notes),
        ),
    )


def _in_order(case: Case, found: Mapping[str, Overlap]) -> dict[str, Overlap]:
    return {one.notation: found[one.notation] for one in case.vocabulary.concepts if one.notation in found}


def _longest_first(table: Table) -> tuple[tuple[str | None, str | None, Ms], ...]:
    cells = ((one, other, ms) for (one, other), ms in table.items())
    return tuple(sorted(cells, key=lambda cell: (-cell[2], cell[0] or "", cell[1] or "")))


def _disagreements(sides: Sequence[Piece]) -> tuple[Piece, ...]:
    return tuple(sorted((one for one in sides if not one.is_agreed), key=lambda one: (-one.length, one.start)))


def _each_name(one: Sequence[Span], other: Sequence[Span], within: Interval) -> list[Piece]:
    """Names that may lie over each other, each by itself."""
    these, those = by_name(one), by_name(other)
    return [
        piece
        for name in sorted({*these, *those})
        for piece in pieces([these.get(name, []), those.get(name, [])], within)
    ]
