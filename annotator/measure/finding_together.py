"""Questions about what is there at the same time: what excludes what, and who went on after a change of hands."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import chain
from operator import attrgetter
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, named
from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary


class _Lasting(NamedTuple):
    """Of a pair that excludes each other: of the one kind what has met none of the other yet, and all of the other."""

    ones: Sequence[Tag] = ()
    others: Sequence[Tag] = ()


def exclusive_pairs(vocabulary: Vocabulary) -> list[tuple[tuple[Concept, ...], tuple[Concept, ...]]]:
    """The concepts that are not there at the same time, each with all that is narrower, each pair once."""
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for concept in vocabulary.concepts:
        for other in concept.rules.never_with:
            if other != concept.notation:
                pairs.setdefault(frozenset((concept.notation, other)), (concept.notation, other))
    return [(vocabulary.narrower[one], vocabulary.narrower[other]) for one, other in pairs.values()]


def together(case: Case) -> list[Finding]:
    """What is tagged at the same time though one excludes the other; each tag with the first of the others."""
    return [finding for pair in exclusive_pairs(case.vocabulary) for finding in _meetings(case, *pair)]


def _meetings(case: Case, ones: Iterable[Concept], others: Iterable[Concept]) -> list[Finding]:
    kinds = frozenset(one.iri for one in ones), frozenset(other.iri for other in others)

    def follow(block: Block, before: _Lasting) -> tuple[list[Finding], _Lasting]:
        if block.concepts.isdisjoint(kinds[0] | kinds[1]):
            return [], _still(case, before, block[-1].start)
        found: list[Finding] = []
        lasting = before
        for tag in block:
            if tag.concept in kinds[0] or tag.concept in kinds[1]:
                met, lasting = _met(_still(case, lasting, tag.start), tag, kinds)
                found += (_at_once(case, one, other) for one, other in met)
        return found, _still(case, lasting, block[-1].start)

    on = case.vocabulary, case.duration, kinds
    found = case.tag_list.walk(f"together {sorted(map(sorted, kinds))}", on, _Lasting(), follow, _joined)[0]
    return _joined(found)


def _joined(parts: Iterable[Iterable[Finding]]) -> list[Finding]:
    return list(chain.from_iterable(parts))


def _still(case: Case, lasting: _Lasting, at: Ms) -> _Lasting:
    """What reaches beyond a time. A moment shares that of what lasts around it: it counts as a millisecond."""
    ones, others = (tuple(tag for tag in tags if max(case.range_of(tag).end, tag.start + 1) > at) for tags in lasting)
    return _Lasting(ones, others)


def _met(
    lasting: _Lasting, tag: Tag, kinds: tuple[frozenset[str], frozenset[str]]
) -> tuple[list[tuple[Tag, Tag]], _Lasting]:
    """Which of the one kind and of the other meet as a tag begins."""
    ones, others = lasting
    found: list[tuple[Tag, Tag]] = []
    if tag.concept in kinds[1]:
        found, ones, others = [(one, tag) for one in ones], (), (*others, tag)
    if tag.concept in kinds[0]:
        if lasting.others:
            found.append((tag, lasting.others[0]))
        else:
            ones = (*ones, tag)
    return found, _Lasting(ones, others)


def _at_once(case: Case, tag: Tag, other: Tag) -> Finding:
    common = case.range_of(tag).common(case.range_of(other))
    share = f" share {in_words(common.length)}" if common else " are at the same time"
    says = (
        f"{named(case, tag)} and {named(case, other)}{share}, but one usually excludes the other; "
        "was this tagged as meant?"
    )
    return Finding("together", says, max(tag.start, other.start), (tag.id, other.id))


def performers(case: Case, steps: Sequence[Sequence[Tag]]) -> list[Finding]:
    """What changes the performer, where the steps before and after it are done by the same.

    `steps` are in order of time, in parts.
    """
    found: list[Finding] = []
    for tag in _changing(case):
        before, after = _around(case, tag, steps)
        if before is not None and after is not None and before.performer == after.performer is not None:
            says = (
                f"After {named(case, tag)} the performer is the same as before, {case.roles.called(after.performer)}; "
                "is the change missing from the steps?"
            )
            found.append(Finding("performer", says, tag.start, tuple(dict.fromkeys((tag.id, before.id, after.id)))))
    return found


def _changing(case: Case) -> list[Tag]:
    terms = frozenset(one.iri for one in case.vocabulary.concepts if one.rules.changes_performer)

    def of_these(block: Block) -> list[Tag]:
        return [] if terms.isdisjoint(block.concepts) else [tag for tag in block if tag.concept in terms]

    return list(
        chain(*case.tag_list.each("performers", (case.vocabulary,), of_these, lambda parts: list(chain(*parts))))
    )


def _around(case: Case, tag: Tag, steps: Sequence[Sequence[Tag]]) -> tuple[Tag | None, Tag | None]:
    """The step that began last before a tag, and that which goes on after it or is the next."""
    end = case.range_of(tag).end
    before, under_way = _last_from(steps, tag.start - 1), _last_from(steps, end)
    if under_way is not None and case.range_of(under_way).end > end:
        return before, under_way
    return before, _first_after(steps, end)


def _last_from(steps: Sequence[Sequence[Tag]], at: Ms) -> Tag | None:
    """The last that starts at a time or before."""
    part = bisect_right(steps, at, key=_start_of_first) - 1
    return steps[part][bisect_right(steps[part], at, key=_start) - 1] if part >= 0 else None


def _first_after(steps: Sequence[Sequence[Tag]], at: Ms) -> Tag | None:
    for part in steps[max(bisect_right(steps, at, key=_start_of_first) - 1, 0) :]:
        if part[-1].start > at:
            return part[bisect_right(part, at, key=_start)]
    return None


def _start_of_first(tags: Sequence[Tag]) -> Ms:
    return tags[0].start


_start = attrgetter("start")
