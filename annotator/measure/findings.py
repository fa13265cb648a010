"""What may be wrong with the tags of a case. A finding is a question in a full sentence, never a verdict."""

from collections.abc import Iterator, Sequence
from functools import partial
from operator import attrgetter
from typing import NamedTuple

from annotator.measure import finding_chains, finding_order, finding_times, finding_together
from annotator.measure.finding import Finding, in_words, named
from annotator.measure.finding_chains import LONG_GAP
from annotator.measure.finding_elsewhere import elsewhere
from annotator.measure.finding_places import depends_on_eye, eye_not_said, unusual_place
from annotator.measure.finding_times import SHORTEST
from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
from annotator.model.timecode import SECOND, clock
from annotator.model.vocabulary import Concept, Facet


class _Single(NamedTuple):
    """What neighbouring tags give rise to, each by itself.

    asked   how many of these are questions, and not only said while a tag is running
    placed  the first tag with a place that depends on which eye it is
    """

    findings: Sequence[Finding]
    asked: int
    placed: Tag | None


def findings(case: Case) -> tuple[Finding, ...]:
    """Everything found, in order of time. Limits and what each kind means: docs/measures.md."""
    single = _each_by_itself(case)
    return tuple(sorted([*_between(case, single.placed), *single.findings], key=attrgetter("at")))


def questions(case: Case) -> int:
    """How many of the findings ask for something; that a tag is still running does not, while it does."""
    single = _each_by_itself(case)
    return single.asked + len(_between(case, single.placed))


def looked_for(case: Case) -> tuple[str, ...]:
    """Which kinds of finding there can be: what every case is asked, then what its vocabulary has rules for."""
    concepts = case.vocabulary.concepts
    rules = [concept.rules for concept in concepts]
    by_rule = (
        ("unusual order", any(concept.usually_after for concept in concepts)),
        ("what is needed before", any(one.needs_before for one in rules)),
        ("missing steps", any(one.expected_with for one in rules)),
        ("unusual lengths", any(finding_times.has_usual_time(case, concept) for concept in concepts)),
        ("unusual places", any(one.usual_place for one in rules)),
        ("what excludes something else", any(one.never_with for one in rules)),
        ("changes of performer", any(one.changes_performer for one in rules)),
    )
    always = (
        *("overlaps", f"gaps from {LONG_GAP // SECOND} s", "tags outside the recording"),
        *("unknown, proposed, running and very short tags", "places without an eye"),
    )
    return (*always, *(kind for kind, is_there in by_rule if is_there))


def _between(case: Case, placed: Tag | None) -> list[Finding]:
    """What tags give rise to by how they stand to others, or to the case."""
    chains = finding_chains.chains(case)
    finest = [one.tags for all_ in list(chains.values())[-1:] for one in all_]
    return [
        *finding_chains.asked(chains),
        *elsewhere(case),
        *finding_order.order(case),
        *finding_times.unusual_times(case),
        *finding_together.together(case),
        *finding_together.performers(case, finest),
        *eye_not_said(case, placed),
    ]


def _each_by_itself(case: Case) -> _Single:
    on = case.vocabulary, case.duration, case.eye
    return _joined(case.tag_list.each("findings", on, partial(_look_at, case), _joined))


def _look_at(case: Case, block: Block) -> _Single:
    concepts = {iri: case.vocabulary.concept(iri) for iri in block.concepts}
    facets = {iri: case.vocabulary.facet(one.facet) if one else None for iri, one in concepts.items()}
    found = [
        Finding(kind, says, tag.start, (tag.id,))
        for tag in block
        for kind, says in _about(case, tag, concepts[tag.concept], facets[tag.concept])
    ]
    asked = sum(finding.kind != "running" for finding in found)
    return _Single(found, asked, next((tag for tag in block if tag.place and depends_on_eye(tag.place)), None))


def _joined(parts: Sequence[_Single]) -> _Single:
    return _Single(
        [finding for one in parts for finding in one.findings],
        sum(one.asked for one in parts),
        next((one.placed for one in parts if one.placed is not None), None),
    )


def _about(case: Case, tag: Tag, concept: Concept | None, facet: Facet | None) -> Iterator[tuple[str, str]]:
    """What one tag alone gives rise to."""
    covered = case.range_of(tag)
    if facet is None:
        yield "unknown", f"{named(case, tag)} has a term that the vocabulary {case.vocabulary.name} does not know."
    if tag.start < 0 or covered.end > case.duration:
        where = "lies outside" if tag.start >= case.duration else "reaches beyond"
        yield "outside", f"{named(case, tag)} {where} the recording, which ends at {clock(case.duration)}."
    if not tag.confirmed:
        yield "unconfirmed", f"{named(case, tag)} is only proposed; confirm it or take it out."
    if tag.is_running:
        yield "running", f"{named(case, tag)} is still running; end it where it ends."
    elif covered.length < SHORTEST and not (facet and facet.moments and covered.is_moment):
        yield "short", f"{named(case, tag)} lasts {in_words(covered.length)}; was it meant?"
    if tag.place:
        yield from unusual_place(case, tag, concept)
