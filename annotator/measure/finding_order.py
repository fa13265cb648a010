"""Questions about what comes before what, and what is missed, by the first and last tag of each concept."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from annotator.errors import listed
from annotator.measure.finding import Finding
from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
from annotator.model.timecode import clock
from annotator.model.vocabulary import Concept

TAGGED_THROUGH = 0.75
"""Share of the case up to which something is tagged before anything is missed; common practice, no source."""


class Ends(NamedTuple):
    """The first and the last of some tags, by where they start."""

    first: Tag
    last: Tag


class _Terms(NamedTuple):
    """By concept IRI the first and the last tag of neighbouring ones."""

    first: dict[str, Tag]
    last: dict[str, Tag]


def order(case: Case) -> list[Finding]:
    """What lacks something before it, what is missed, and what began before something that it usually follows."""
    ends = _rolled_up(case)
    tagged_until = max((block.ends[-1] for block in case.tag_list.blocks if block.ends), default=0)
    is_through = tagged_until >= TAGGED_THROUGH * case.duration
    found: list[Finding] = []
    for concept in case.vocabulary.concepts:
        tagged = ends.get(concept.notation)
        if tagged is None:
            found += _missed(case, concept, ends) if is_through else []
            continue
        lacking = _lacking(case, concept, tagged, ends)
        found += lacking
        told = concept.rules.needs_before if lacking else ()
        found += (_unusual(case, concept, tagged, one) for one in _later(concept, tagged, ends) if one[0] not in told)
    return found


def _rolled_up(case: Case) -> Mapping[str, Ends]:
    """By notation the ends of a concept's tags and of those of anything narrower.

    A step that may fall in any phase is none of its phase here: it says nothing of when that began.
    """
    found: dict[str, Ends] = {}
    first, last = _joined(case.tag_list.each("ends", (), _ends, _joined))
    for iri, tag in first.items():
        ends, concept = Ends(tag, last[iri]), case.vocabulary.concept(iri)
        for above in case.vocabulary.always_counts_for(concept) if concept else ():
            other = found.get(above.notation, ends)
            found[above.notation] = Ends(
                min(other.first, ends.first, key=_start), max(other.last, ends.last, key=_start)
            )
    return found


def _ends(block: Block) -> _Terms:
    by_term = block.by_term.items()
    return _Terms({iri: tags[0] for iri, tags in by_term}, {iri: tags[-1] for iri, tags in by_term})


def _joined(parts: Sequence[_Terms]) -> _Terms:
    found = _Terms({}, {})
    for part in parts:
        found.last.update(part.last)
    for part in reversed(parts):
        found.first.update(part.first)
    return found


def _start(tag: Tag) -> tuple[int, str]:
    return tag.start, tag.id


def _missed(case: Case, concept: Concept, ends: Mapping[str, Ends]) -> list[Finding]:
    for notation in concept.rules.expected_with:
        there = ends.get(notation)
        if there is not None:
            other = case.vocabulary.by_notation[notation].label()
            says = f"{other} is tagged, at {clock(there.first.start)}, but no {concept.label()}; is it missing?"
            return [Finding("missing", says, there.first.start, (there.first.id,))]
    return []


def _lacking(case: Case, concept: Concept, tagged: Ends, ends: Mapping[str, Ends]) -> list[Finding]:
    """A concept before which one of several is needed, where none of them began before it."""
    needed = concept.rules.needs_before
    if not needed or any(one in ends and ends[one].first.start < tagged.first.start for one in needed):
        return []
    names = listed([case.vocabulary.by_notation[one].label() for one in needed])
    says = f"{concept.label()} begins at {clock(tagged.first.start)} without {names} before it; is one missing?"
    return [Finding("before", says, tagged.first.start, (tagged.first.id,))]


def _later(concept: Concept, tagged: Ends, ends: Mapping[str, Ends]) -> list[tuple[str, Tag]]:
    """What a concept usually follows and this time only came before: no tag of it is behind the first of the other."""
    found = ((notation, ends[notation].first) for notation in concept.usually_after if notation in ends)
    return [(notation, first) for notation, first in found if tagged.last.start < first.start]


def _unusual(case: Case, concept: Concept, tagged: Ends, other: tuple[str, Tag]) -> Finding:
    notation, first = other
    says = (
        f"{concept.label()} begins at {clock(tagged.first.start)}, before "
        f"{case.vocabulary.by_notation[notation].label()} at {clock(first.start)}, which it usually follows; "
        "was this tagged as meant?"
    )
    return Finding("order", says, tagged.first.start, (tagged.first.id, first.id))
