"""Questions about what is there at the same time: what excludes what, and who went on after a change of hands."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

from annotator.measure.finding import Finding, in_words, named
from annotator.model.case import Case, Tag
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary

Tags = Mapping[str, Sequence[Tag]]
"""By concept IRI the tags of those concepts that a question of this kind is about, in order of time."""


def asked_about(vocabulary: Vocabulary) -> frozenset[str]:
    """The IRIs of the concepts whose tags are needed here."""
    pairs = {concept.iri for pair in exclusive_pairs(vocabulary) for concept in chain(*pair)}
    return frozenset(pairs | {one.iri for one in vocabulary.concepts if one.rules.changes_performer})


def exclusive_pairs(vocabulary: Vocabulary) -> list[tuple[tuple[Concept, ...], tuple[Concept, ...]]]:
    """The concepts that are not there at the same time, each with all that is narrower, each pair once."""
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for concept in vocabulary.concepts:
        for other in concept.rules.never_with:
            if other != concept.notation:
                pairs.setdefault(frozenset((concept.notation, other)), (concept.notation, other))
    return [(vocabulary.narrower[one], vocabulary.narrower[other]) for one, other in pairs.values()]


def together(case: Case, known: Sequence[Tags]) -> list[Finding]:
    """What is tagged at the same time though one excludes the other; each tag with the first of the others."""
    found: list[Finding] = []
    for pair in exclusive_pairs(case.vocabulary):
        ones, others = (_tags(known, (concept.iri for concept in concepts)) for concepts in pair)
        found += (_at_once(case, tag, other) for tag, other in _meeting(case, ones, others))
    return found


def _tags(known: Sequence[Tags], iris: Iterable[str]) -> list[Tag]:
    wanted = list(iris)
    tags = (tag for one in known for iri in wanted for tag in one.get(iri, ()))
    return sorted(tags, key=lambda tag: (tag.start, tag.id))


def _meeting(case: Case, ones: Sequence[Tag], others: Sequence[Tag]) -> Iterator[tuple[Tag, Tag]]:
    """Each tag with the first of the others that it shares time with. A moment shares that of what lasts around it."""
    at = 0
    for tag in ones:
        start, end = _lasting(case, tag)
        while at < len(others) and _lasting(case, others[at])[1] <= start:
            at += 1
        first = next((other for other in others[at : at + 2] if other.id != tag.id), None)
        if first is not None and first.start < end and _lasting(case, first)[1] > start:
            yield tag, first


def _lasting(case: Case, tag: Tag) -> tuple[Ms, Ms]:
    """Its range; that of a moment as one of a millisecond."""
    start, end = case.range_of(tag)
    return start, max(end, start + 1)


def _at_once(case: Case, tag: Tag, other: Tag) -> Finding:
    common = case.range_of(tag).common(case.range_of(other))
    share = f" share {in_words(common.length)}" if common else " are at the same time"
    says = (
        f"{named(case, tag)} and {named(case, other)}{share}, but one usually excludes the other; "
        "was this tagged as meant?"
    )
    return Finding("together", says, max(tag.start, other.start), (tag.id, other.id))


def performers(case: Case, known: Sequence[Tags], steps: Sequence[Sequence[Tag]]) -> list[Finding]:
    """What changes the performer, where the steps before and after it are done by the same.

    `steps` are those of each block in order of time.
    """
    changing = [one.iri for one in case.vocabulary.concepts if one.rules.changes_performer]
    firsts = [some[0].start for some in steps]
    found: list[Finding] = []
    for tag in _tags(known, changing):
        before, after = _around(case, tag, steps, firsts)
        if before is not None and after is not None and before.performer == after.performer is not None:
            says = (
                f"After {named(case, tag)} the performer is the same as before, {case.roles.called(after.performer)}; "
                "is the change missing from the steps?"
            )
            found.append(Finding("performer", says, tag.start, tuple(dict.fromkeys((tag.id, before.id, after.id)))))
    return found


def _around(
    case: Case, tag: Tag, steps: Sequence[Sequence[Tag]], firsts: Sequence[Ms]
) -> tuple[Tag | None, Tag | None]:
    """The step that began last before a tag, and that which goes on after it or is the next."""
    end = case.range_of(tag).end
    earlier = steps[: bisect_left(firsts, tag.start)][-1:]
    before = next((one for some in earlier for one in reversed(some) if one.start < tag.start), None)
    at = max(bisect_right(firsts, end) - 1, 0)
    near = [one for some in steps[at : at + 2] for one in some]
    under_way = [one for one in near if one.start <= end][-1:]
    if under_way and case.range_of(under_way[0]).end > end:
        return before, under_way[0]
    return before, next((one for one in near if one.start > end), None)
