"""What may be wrong with the tags of a case. A finding is a question in a full sentence, never a verdict."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from operator import attrgetter
from typing import NamedTuple

from annotator.measure import finding_order, finding_times, finding_together
from annotator.measure.finding import Finding, in_words, named
from annotator.measure.finding_chains import LONG_GAP, Chain, chain_of, nearly_all, overlaps_and_gaps
from annotator.measure.finding_elsewhere import elsewhere
from annotator.measure.finding_order import Ends
from annotator.measure.finding_places import depends_on_eye, eye_not_said, unusual_place
from annotator.measure.finding_times import SHORTEST, Timed
from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
from annotator.model.timecode import SECOND, clock
from annotator.model.vocabulary import Concept, Facet


class _Known(NamedTuple):
    """What follows from one block of tags alone.

    single  what each tag by itself gives rise to
    asked   how many of these are questions, and not only said while a tag is running
    chains  by exclusive facet
    ends    the first and last tag of each term
    timed   the occurrences of concepts of which it is known how long they usually take
    paired  by term the tags of a concept that excludes another, or that changes the performer
    placed  the first tag with a place that depends on which eye it is
    """

    single: Sequence[Finding]
    asked: int
    chains: Mapping[str, Chain]
    ends: Mapping[str, Ends]
    timed: Timed
    paired: Mapping[str, Sequence[Tag]]
    placed: Tag | None


def findings(case: Case) -> tuple[Finding, ...]:
    """Everything found, in order of time. Limits and what each kind means: docs/measures.md."""
    known = _known(case)
    single = [finding for one in known for finding in one.single]
    return tuple(sorted([*_between(case, known), *single], key=attrgetter("at")))


def questions(case: Case) -> int:
    """How many of the findings ask for something; that a tag is still running does not, while it does."""
    known = _known(case)
    return sum(one.asked for one in known) + len(_between(case, known))


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


def _between(case: Case, known: Sequence[_Known]) -> list[Finding]:
    """What tags give rise to by how they stand to others, or to the case."""
    chains = [one.chains for one in known]
    paired = [one.paired for one in known]
    return [
        *overlaps_and_gaps(case, chains),
        *elsewhere(case),
        *finding_order.order(case, (one.ends for one in known)),
        *finding_times.unusual_times(case, [one.timed for one in known]),
        *finding_together.together(case, paired),
        *finding_together.performers(case, paired, _steps(case, chains)),
        *eye_not_said(case, next((one.placed for one in known if one.placed is not None), None)),
        *nearly_all(case, chains),
    ]


def _steps(case: Case, chains: Sequence[Mapping[str, Chain]]) -> list[Sequence[Tag]]:
    """The tags of the finest exclusive facet in use, of each block that has any."""
    used = [facet.name for facet in case.vocabulary.facets if any(facet.name in one for one in chains)]
    return [one[used[-1]].tags for one in chains if used and used[-1] in one]


def _known(case: Case) -> list[_Known]:
    """By block, so that after an edit only what it changed is looked at again."""
    on = case.vocabulary, case.duration, case.eye
    return [block.once("findings", on, partial(_look_at, case, block)) for block in case.tag_list.blocks]


def _look_at(case: Case, block: Block) -> _Known:
    by_term: dict[str, list[Tag]] = {}
    for tag in block:
        by_term.setdefault(tag.concept, []).append(tag)
    concepts = {iri: case.vocabulary.concept(iri) for iri in by_term}
    facets = {iri: case.vocabulary.facet(one.facet) if one else None for iri, one in concepts.items()}
    single = [
        Finding(kind, says, tag.start, (tag.id,))
        for tag in block
        for kind, says in _about(case, tag, concepts[tag.concept], facets[tag.concept])
    ]
    return _Known(
        single,
        asked=sum(finding.kind != "running" for finding in single),
        chains={name: chain_of(case, name, tags) for name, tags in _exclusive(block, facets).items()},
        ends={iri: Ends(tags[0], tags[-1]) for iri, tags in by_term.items()},
        timed=finding_times.timed(case, by_term, block[-1].start),
        paired={iri: by_term[iri] for iri in by_term.keys() & finding_together.asked_about(case.vocabulary)},
        placed=next((tag for tag in block if tag.place and depends_on_eye(tag.place)), None),
    )


def _exclusive(tags: Iterable[Tag], facets: Mapping[str, Facet | None]) -> Mapping[str, Sequence[Tag]]:
    """The tags of each exclusive facet."""
    found: dict[str, list[Tag]] = {}
    for tag in tags:
        facet = facets[tag.concept]
        if facet is not None and facet.exclusive:
            found.setdefault(facet.name, []).append(tag)
    return found


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
