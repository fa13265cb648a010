"""One case beside earlier ones and references, or a period of cases by themselves. Definitions: docs/measures.md.

Nothing is pooled: every reference stands by itself, with what begins and ends its times.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from annotator.measure.counted import count
from annotator.measure.durations import altered_of
from annotator.measure.over_cases.cusum import Cusum, Design, cusum
from annotator.measure.over_cases.events import Events, events
from annotator.measure.over_cases.movement import Movement, SharePoint, movement
from annotator.measure.over_cases.series import LeftOut, Member, Series, earlier
from annotator.measure.over_cases.spread import Beside, Spread, beside, spread
from annotator.measure.over_cases.step_times import STEP, StepTimes, step_times
from annotator.measure.over_cases.terms import Rules, Terms
from annotator.measure.over_cases.trend import NoTrend, Point, Trend, trend
from annotator.measure.within import PERFORMER
from annotator.model.reference import Measured, Reference
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE


class Against(msgspec.Struct, frozen=True):
    """A reference, and by how many ms the case is longer (or, below 0, shorter); None where there is no case."""

    reference: Reference
    difference: Ms | None


class Share(msgspec.Struct, frozen=True):
    """The share of a step's net time under something, from 0 to 1; `movement` over all cases with the step."""

    facet: str
    notation: str
    label: str
    beside: Beside
    movement: Movement


class StepReview(msgspec.Struct, frozen=True):
    """One step, or the operating time, where `net` and `elapsed` are the same. Times in ms.

    rules  what begins and ends it
    trend  of the net time over case numbers
    """

    notation: str
    label: str
    rules: Rules
    net: Beside
    elapsed: Beside
    against: tuple[Against, ...]
    trend: Trend | NoTrend
    shares: tuple[Share, ...]

    @property
    def disagree(self) -> bool:
        """Whether the case is longer than one reference and shorter than another."""
        differences = [one.difference for one in self.against if one.difference is not None]
        return min(differences, default=0) < 0 < max(differences, default=0)


class EventCusum(msgspec.Struct, frozen=True):
    """The CUSUM of one event over numbered cases; `members` are these, as the path counts them."""

    notation: str
    label: str
    members: tuple[Member, ...]
    cusum: Cusum


class Review(msgspec.Struct, frozen=True):
    """What is told of a case, or of a period where `this` is None.

    members   the cases that it is laid beside, or those of the period
    steps     in the order of the vocabulary, the operating time first where it is known
    watched   None where no event was asked for
    notes     sentences on what the figures rest on
    """

    this: Member | None
    members: tuple[Member, ...]
    left_out: tuple[LeftOut, ...]
    steps: tuple[StepReview, ...]
    events: Events
    watched: EventCusum | None
    notes: tuple[str, ...]


class Asked(NamedTuple):
    """What a review is asked for beside times: shares within categories, and an event to watch by its notation."""

    within: Sequence[str] = ()
    event: str = ""
    design: Design | None = None
    language: str = DEFAULT_LANGUAGE


class _Times(NamedTuple):
    """The times of the cases that others are compared with, those of the one that is, and of all that have a number."""

    others: Sequence[Mapping[str, StepTimes]]
    this: Mapping[str, StepTimes]
    numbered: Sequence[tuple[int, Mapping[str, StepTimes]]]


def review(found: Series, this: Member | None, references: Sequence[Reference], asked: Asked) -> Review:
    """The review of `this` beside the cases before it, or of all cases of a series where there is none.

    The cases share a vocabulary, as `series` makes it. Raises UnknownName for a category that it lacks.
    """
    before = earlier(found, this) if this else found
    together = [*before.members, *([this] if this else [])]
    times = {one.case.id: step_times(one.case, asked.language, asked.within) for one in together}
    compared = _Times(
        [times[one.case.id] for one in before.members],
        times[this.case.id] if this else {},
        [(one.number, times[one.case.id]) for one in together if one.number is not None],
    )
    terms = Terms((one.case for one in together), asked.language)
    happened = events(together, asked.language)
    return Review(
        this,
        before.members,
        before.left_out,
        tuple(
            _step(notation, terms, compared, references, asked.within)
            for notation in terms.in_order({name for each in (*compared.others, compared.this) for name in each})
        ),
        happened,
        _watched(together, happened, terms, asked),
        tuple(_notes(before, this)),
    )


def of_group(found: Series, group: str, language: str = DEFAULT_LANGUAGE) -> tuple[Reference, ...]:
    """The times of a group of cases as references, net and elapsed."""
    times = [step_times(one.case, language) for one in found.members]
    terms = Terms((one.case for one in found.members), language)
    references = []
    for notation in terms.in_order({name for each in times for name in each}):
        for measured in Measured:
            values = spread(each[notation].time(measured) for each in times if notation in each)
            if values is not None:
                references.append(_of_spread(notation, group, values, measured, terms))
    return tuple(references)


def _of_spread(notation: str, group: str, values: Spread, measured: Measured, terms: Terms) -> Reference:
    rules = terms.rules(notation)
    return Reference(
        step=notation,
        group=group,
        n=values.n,
        measured=measured,
        begins=rules.begins,
        ends=rules.ends,
        source="these cases",
        median=round(values.median),
        lower_quartile=round(values.lower_quartile),
        upper_quartile=round(values.upper_quartile),
    )


def _step(
    notation: str, terms: Terms, times: _Times, references: Sequence[Reference], within: Sequence[str]
) -> StepReview:
    own = times.this.get(notation)
    others = [each[notation] for each in times.others if notation in each]
    numbered = [(number, each[notation]) for number, each in times.numbered if notation in each]
    return StepReview(
        notation,
        terms.label(notation),
        terms.rules(notation),
        net=beside(own.net if own else None, (one.net for one in others)),
        elapsed=beside(own.elapsed if own else None, (one.elapsed for one in others)),
        against=tuple(_against(own, one) for one in references if one.step == notation),
        trend=trend([Point(number, one.net) for number, one in numbered]),
        shares=tuple(_shares(own, others, numbered, terms, within)),
    )


def _against(own: StepTimes | None, reference: Reference) -> Against:
    return Against(reference, None if own is None else own.time(reference.measured) - reference.middle)


def _shares(
    own: StepTimes | None,
    others: Sequence[StepTimes],
    numbered: Sequence[tuple[int, StepTimes]],
    terms: Terms,
    within: Sequence[str],
) -> Iterator[Share]:
    """What the performers have, then what the categories do. In a case with the step, what is not there has none."""
    found = {key for one in (*others, *([own] if own else [])) for key in one.shares}
    for facet in (PERFORMER, *within):
        for name in terms.in_order(name for at, name in found if at == facet):
            yield Share(
                facet,
                name,
                terms.part(facet, name),
                beside(own.share(facet, name) if own else None, (one.share(facet, name) for one in others)),
                movement([SharePoint(number, one.share(facet, name)) for number, one in numbered]),
            )


def _watched(together: Sequence[Member], found: Events, terms: Terms, asked: Asked) -> EventCusum | None:
    """Over the numbered cases, in the order of their numbers."""
    if not asked.event or asked.design is None:
        return None
    counts = next((one.by_case for one in found.counts if one.notation == asked.event), (0,) * len(together))
    numbered = sorted(
        ((member, count) for member, count in zip(together, counts, strict=True) if member.number is not None),
        key=lambda one: one[0].number or 0,
    )
    members = tuple(member for member, _ in numbered)
    happened = [bool(count) for _, count in numbered]
    return EventCusum(asked.event, terms.label(asked.event), members, cusum(happened, asked.design))


def _notes(before: Series, this: Member | None) -> Iterator[str]:
    if this is not None:
        if this.number is None:
            yield "This case has no case number: it is laid beside all other cases, earlier or later."
        yield from count(this.case, STEP, DEFAULT_LANGUAGE)[1]
    together = [*before.members, *([this] if this else [])]
    altered = sum(bool(altered_of(one.case)) for one in before.members)
    if altered:
        yield f"Recordings that were cut, slowed down or sped up are counted, as was asked for: {_cases(altered)}."
    numbers = [one.number for one in together if one.number is not None]
    if len(set(numbers)) < len(numbers):
        yield "Some cases have the same case number; their order among each other is not known."
    missing = len(together) - len(numbers)
    if missing:
        yield f"Without a case number, and left out of trends and of the CUSUM: {_cases(missing)}."
    proposed = sum(any(not tag.confirmed for tag in one.case.tags) for one in before.members)
    strange = sum(any(one.case.vocabulary.concept(iri) is None for iri in _terms(one)) for one in before.members)
    if strange:
        yield f"With tags whose terms this vocabulary lacks, which are not counted: {_cases(strange)}."
    if proposed:
        yield f"With tags that are only proposed, which are counted: {_cases(proposed)}."


def _terms(one: Member) -> set[str]:
    return {tag.concept for tag in one.case.tags}


def _cases(number: int) -> str:
    return f"{number} case{'s' * (number != 1)}"
