"""Questions about how long one occurrence of a concept takes, as its vocabulary says what is usual.

An occurrence is one uninterrupted stretch: tags of a concept that overlap or touch are one. A moment has no length and
is not asked about, and neither is what is still running.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, times
from annotator.model.case import Case, Tag
from annotator.model.concept_rules import UsualTime
from annotator.model.timecode import MINUTE, SECOND, Ms
from annotator.model.vocabulary import Concept

SHORTEST: Ms = SECOND // 2
"""A tag below this is more likely two keys pressed by accident than a step; common practice, no source."""

LONGEST_EVENT: Ms = 5 * MINUTE
"""An event that was left open rather than meant, where its vocabulary says nothing; common practice, no source."""


class Occurrence(NamedTuple):
    """A stretch, and the first and the last tag of those that make it."""

    start: Ms
    end: Ms
    is_running: bool
    first_id: str
    last_id: str


class Occurrences(NamedTuple):
    """The occurrences of a concept in a block.

    asked  what is asked about them where none before the block reaches into it, but for the open one
    open   the last, where a later tag may go on with it
    """

    all: Sequence[Occurrence]
    asked: Sequence[Finding]
    open: Occurrence | None


class Timed(NamedTuple):
    """The occurrences in a block: by concept IRI, what they all give rise to, and those that are open.

    last  when the last tag of the block starts: none behind it starts earlier
    """

    by_term: Mapping[str, Occurrences]
    asked: Sequence[Finding]
    open: Mapping[str, Occurrence]
    last: Ms


def timed(case: Case, by_term: Mapping[str, Sequence[Tag]], last: Ms) -> Timed:
    """Of the tags of a block in order of time, the last of which starts at `last`."""
    found: dict[str, Occurrences] = {}
    for iri, tags in by_term.items():
        concept = case.vocabulary.concept(iri)
        if concept is not None and has_usual_time(case, concept):
            found[iri] = _occurrences(case, concept, _joined(case, tags), last)
    asked = [finding for one in found.values() for finding in one.asked]
    return Timed(found, asked, _open(found), last)


def _open(found: Mapping[str, Occurrences]) -> dict[str, Occurrence]:
    return {iri: one.open for iri, one in found.items() if one.open is not None}


def _joined(case: Case, tags: Iterable[Tag]) -> list[Occurrence]:
    found: list[Occurrence] = []
    reached: Ms = -1
    for tag in tags:
        one = Occurrence(tag.start, case.range_of(tag).end, tag.is_running, tag.id, tag.id)
        if found and tag.start <= reached:
            found[-1] = one = _as_one(found[-1], one)
        else:
            found.append(one)
        reached = one.end
    return found


def _occurrences(case: Case, concept: Concept, found: Sequence[Occurrence], last: Ms) -> Occurrences:
    usual = usual_time(case, concept)
    is_open = found[-1].end >= last
    whole = found[:-1] if is_open else found
    asked = [finding for one in whole for finding in _asked(concept, usual, one)]
    return Occurrences(found, asked, found[-1] if is_open else None)


def unusual_times(case: Case, known: Sequence[Timed]) -> list[Finding]:
    """The occurrences that are shorter or longer than usual, from block to block.

    What is known of a block holds of every concept of which no occurrence before it reaches into it.
    """
    found: list[Finding] = []
    still_open: dict[str, Occurrence] = {}
    for block in known:
        reaching = {
            iri: one
            for iri, one in still_open.items()
            if iri in block.by_term and block.by_term[iri].all[0].start <= one.end
        }
        followed = {iri: _followed(case, iri, one, block) for iri, one in reaching.items()}
        if followed:
            found += (asked for iri, one in block.by_term.items() for asked in followed.get(iri, one).asked)
        else:
            found += block.asked
        others = {iri: one for iri, one in still_open.items() if iri not in reaching}
        found += _all_asked(case, {iri: one for iri, one in others.items() if one.end < block.last})
        still_open = {iri: one for iri, one in others.items() if one.end >= block.last}
        still_open |= {iri: one for iri, one in block.open.items() if iri not in followed} | _open(followed)
    return found + _all_asked(case, still_open)


def _followed(case: Case, iri: str, before: Occurrence, block: Timed) -> Occurrences:
    """The occurrences of a concept in a block into which one from before reaches."""
    all_ = [before]
    for one in block.by_term[iri].all:
        if one.start <= all_[-1].end:
            all_[-1] = _as_one(all_[-1], one)
        else:
            all_.append(one)
    return _occurrences(case, case.vocabulary.by_iri[iri], all_, block.last)


def _all_asked(case: Case, ended: Mapping[str, Occurrence]) -> list[Finding]:
    concepts = ((case.vocabulary.by_iri[iri], one) for iri, one in ended.items())
    return [asked for concept, one in concepts for asked in _asked(concept, usual_time(case, concept), one)]


def has_usual_time(case: Case, concept: Concept) -> bool:
    return usual_time(case, concept) != UsualTime()


def usual_time(case: Case, concept: Concept) -> UsualTime:
    """What the vocabulary says; of an event of which it says nothing, what holds for all of them."""
    usual = concept.rules.usual_time
    if usual == UsualTime() and case.vocabulary.facet(concept.facet).moments:
        return UsualTime(most=LONGEST_EVENT)
    return usual


def _as_one(before: Occurrence, after: Occurrence) -> Occurrence:
    return Occurrence(
        before.start,
        max(before.end, after.end),
        before.is_running or after.is_running,
        before.first_id,
        after.last_id,
    )


def _asked(concept: Concept, usual: UsualTime, one: Occurrence) -> list[Finding]:
    length = one.end - one.start
    if one.is_running or not length:
        return []
    if usual.most is not None and length > usual.most:
        return [_unusual("long", concept, one, f"{in_words(usual.most)} at most; was its end forgotten?")]
    if usual.least is not None and SHORTEST <= length < usual.least:  # what is shorter is asked about as a tag
        return [_unusual("short", concept, one, f"{in_words(usual.least)} at least; was this all of it?")]
    return []


def _unusual(kind: str, concept: Concept, one: Occurrence, usually: str) -> Finding:
    called = f"{concept.label()} {times(one.start, one.end)} lasts {in_words(one.end - one.start)}"
    return Finding(
        kind, f"{called}, and usually {usually}", one.start, tuple(dict.fromkeys((one.first_id, one.last_id)))
    )
