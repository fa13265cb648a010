"""How long each step took: visits, union of time, and what follows what. Definitions: docs/measures.md.

A *visit* is one uninterrupted stay: ranges of one concept that overlap or touch are one visit, and no
millisecond is counted twice. All times are whole milliseconds on the case's clock.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import pairwise

import msgspec

from annotator.measure.counted import Counted, Named, by_concept, by_nearest, count
from annotator.measure.interruptions import Interruption, interruptions
from annotator.measure.operation import operating_time
from annotator.measure.places import PlaceTimes, time_by_place
from annotator.measure.rows import Row, row
from annotator.measure.stays import Stay, stays
from annotator.measure.within import PERFORMER, Within, by_performer, within
from annotator.model.case import Case
from annotator.model.interval import Interval, gaps, shared, total, union
from annotator.model.recording import Altered
from annotator.model.roles import Roles
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept
from annotator.plain_text import capitalised


class Transition(msgspec.Struct, frozen=True):
    """How often one concept was followed by another; both by notation."""

    origin: str
    to: str
    count: int


class PerformerRows(msgspec.Struct, frozen=True):
    """The rows of the tags of one performer, by the code of the role; None: of the tags where nobody said who."""

    performer: str | None
    label: str
    rows: tuple[Row, ...]


class Summary(msgspec.Struct, frozen=True):
    """The durations of one facet of a case.

    case          its title, or its id where it has none
    duration      of the whole case
    operation     the operating time; None where it is not known
    rows          one for each concept that occurs, in the order of the vocabulary
    together      the rows as one, where some were asked for and there are several
    untagged      time that no counted tag covers; None where the facet may overlap freely
    overlap       time under two tags of the facet, or under two of its concepts, at once; None likewise
    transitions   most frequent first
    places        time by place on the retina, of all tags whatever their facet
    by_performer  None where it was not asked for
    within        what lay within each step; None where it was not asked for
    altered       in which ways recordings do not run as the operation did; `notes` says it in words
    notes         sentences on what the figures rest on: running tags, tags outside the case ...
    """

    case: str
    duration: Ms
    operation: Interval | None
    facet: str
    rows: tuple[Row, ...]
    untagged: Ms | None
    overlap: Ms | None
    transitions: tuple[Transition, ...]
    places: PlaceTimes
    together: Row | None = None
    by_performer: tuple[PerformerRows, ...] | None = None
    within: Within | None = None
    altered: tuple[Altered, ...] = ()
    notes: tuple[str, ...] = ()


class Visit(msgspec.Struct, frozen=True):
    """One uninterrupted stay with a concept; a moment has no length. `tag_id` is that of the first of its tags."""

    concept: Concept
    start: Ms
    end: Ms
    tag_id: str


def summarise(
    case: Case,
    facet: str = "step",
    by_performer: bool = False,
    language: str = DEFAULT_LANGUAGE,
    of: Collection[str] = (),
    within: str = "",
) -> Summary:
    """Durations of the concepts of one facet, of all of them or of those that `of` names by notation.

    `within` asks what of another facet, or which performer (`performer`), lay within each of them.
    Raises UnknownName for a facet that the vocabulary lacks.
    """
    counted, notes = count(case, facet, language)
    is_step = case.vocabulary.facet(facet).exclusive
    operation = operating_time(case)
    named = [one for one in by_concept(case, counted, language) if not of or one.notation in of]
    together = _together(named) if of else []
    broken = _interruptions(case, counted, named, language) if is_step else {}
    return Summary(
        case=case.title or case.id,
        duration=case.duration,
        operation=operation,
        facet=facet,
        rows=_rows(case, named, operation, is_step, broken),
        together=next(iter(_rows(case, together, operation, is_step)), None),
        untagged=total(gaps([one.time for one in counted], case.whole)) if is_step else None,
        overlap=_overlap(counted) if is_step else None,
        transitions=_transitions([one for one in _visits(case, counted) if not of or one.concept.notation in of]),
        places=time_by_place(case),
        by_performer=_by_performer(case, counted, operation, is_step, language) if by_performer else None,
        within=_within(case, counted, [*named, *together], within, language),
        altered=altered_of(case),
        notes=notes,
    )


def visits(case: Case, facet: str) -> tuple[Visit, ...]:
    """The visits of a facet in order of start, each tag counted for the nearest of its concepts in that facet.

    Raises UnknownName for a facet that the vocabulary lacks.
    """
    return tuple(_visits(case, count(case, facet, DEFAULT_LANGUAGE)[0]))


def altered_of(case: Case) -> tuple[Altered, ...]:
    """In which ways recordings of the case do not run as the operation did, in alphabetical order."""
    return tuple(sorted({how for recording in case.recordings for how in recording.altered}))


def _together(named: Sequence[Named]) -> list[Named]:
    """Several concepts as one."""
    are_several = len(named) > 1
    return [Named("", "All of these", stays(visit for one in named for visit in one.visits))] if are_several else []


def _rows(
    case: Case,
    named: Iterable[Named],
    operation: Interval | None,
    is_step: bool,
    interrupted: Mapping[str, tuple[Interruption, ...]] = {},
) -> tuple[Row, ...]:
    return tuple(row(one, case.duration, operation, is_step, interrupted.get(one.notation, ())) for one in named)


def _interruptions(
    case: Case, counted: Sequence[Counted], named: Iterable[Named], language: str
) -> Mapping[str, tuple[Interruption, ...]]:
    """By concept what of the same facet, and which event, took time between its visits."""
    events = [facet.name for facet in case.vocabulary.facets if facet.moments]
    others = by_nearest(case, counted, language)
    for facet in events:
        others += by_nearest(case, count(case, facet, language)[0], language)
    return interruptions(
        case.vocabulary,
        {one.notation: one.visits for one in named},
        {one.notation: one.visits for one in others},
        language,
    )


def _within(case: Case, counted: Sequence[Counted], named: Sequence[Named], facet: str, language: str) -> Within | None:
    if not facet:
        return None
    if facet == PERFORMER:
        return by_performer(named, _done_by(case.roles, counted, frozenset(one.notation for one in named), language))
    return within(facet, named, by_concept(case, count(case, facet, language)[0], language))


def _done_by(
    roles: Roles, counted: Iterable[Counted], wanted: frozenset[str], language: str
) -> Mapping[str, Sequence[Named]]:
    """By concept the visits of each performer, in the order of the roles; all wanted ones as one under “”."""
    ranges: dict[str, dict[str, list[Stay]]] = {notation: {} for notation in (*wanted, "")}
    for one in counted:
        notations = wanted.intersection(concept.notation for concept in one.line)
        if one.tag.performer is not None and notations:
            for notation in (*notations, ""):
                ranges[notation].setdefault(one.tag.performer, []).append(one.time)
    return {
        notation: [
            Named(role, capitalised(roles.called(role, language)), stays(done[role])) for role in roles.order(done)
        ]
        for notation, done in ranges.items()
    }


def _overlap(counted: Sequence[Counted]) -> Ms:
    """Time under two tags of the facet itself, or, rolled up, under two of its topmost concepts."""
    own = [one.time for one in counted if one.tag.concept == one.line[0].iri]
    doubled = shared(own)
    if len(own) < len(counted):
        by_top: dict[str, list[Interval]] = {}
        for one in counted:
            by_top.setdefault(one.line[-1].notation, []).append(one.time)
        doubled += shared([interval for ranges in by_top.values() for interval in union(ranges)])
    return total(doubled)


def _visits(case: Case, counted: Iterable[Counted]) -> list[Visit]:
    """By start, of one start the longer first, then as in the vocabulary."""
    ranges: dict[str, list[Stay]] = {}
    firsts: dict[tuple[str, Ms], str] = {}
    for one in counted:
        notation = one.line[0].notation
        ranges.setdefault(notation, []).append(one.time)
        firsts.setdefault((notation, one.time.start), one.tag.id)
    found = [
        Visit(concept, start, end, firsts[concept.notation, start])
        for concept in case.vocabulary.concepts
        if concept.notation in ranges
        for start, end in stays(ranges[concept.notation])
    ]
    return sorted(found, key=lambda visit: (visit.start, -visit.end))


def _transitions(in_order: Sequence[Visit]) -> tuple[Transition, ...]:
    """Changes from one visit to the next; coming back to the same concept is none. Ties stand as they first happen."""
    counts = Counter(
        (before.concept.notation, after.concept.notation)
        for before, after in pairwise(in_order)
        if before.concept.notation != after.concept.notation
    )
    return tuple(Transition(before, after, count) for (before, after), count in counts.most_common())


def _by_performer(
    case: Case, counted: Sequence[Counted], operation: Interval | None, is_step: bool, language: str
) -> tuple[PerformerRows, ...]:
    """Rows for each performer that occurs, in the order of the roles, those without one last."""
    groups: dict[str | None, list[Counted]] = {}
    for one in counted:
        groups.setdefault(one.tag.performer, []).append(one)
    in_order = [*case.roles.order(filter(None, groups)), *([None] if None in groups else [])]
    return tuple(
        PerformerRows(
            role,
            case.roles.called(role, language),
            _rows(case, by_concept(case, groups[role], language), operation, is_step),
        )
        for role in in_order
    )
