"""What one person's case says of one category, on the clock on which it is compared."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from annotator.errors import InvalidEdit
from annotator.measure.agreement.moments import Marked, Moment
from annotator.measure.agreement.spans import Span, cut, one_at_a_time, side_by_side
from annotator.measure.counted import count
from annotator.model.case import Case
from annotator.model.interval import Interval
from annotator.model.own_terms import with_own_terms
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary
from annotator.model.vocabulary_change import carry


class Account(NamedTuple):
    """One case: the whole of it on the common clock, its spans there, its moments, and what to know of them."""

    whole: Interval
    marked: Marked
    notes: tuple[str, ...]


def account(case: Case, facet: str, offset: Ms = 0) -> Account:
    """The case with each tag counted for the nearest of its concepts in the facet, `offset` ms later.

    In a facet that holds one tag at a time, one is left at each time. Raises UnknownName for an unknown facet.
    """
    counted, notes = count(case, facet, DEFAULT_LANGUAGE)
    spans, moments = [], []
    for one in counted:
        start, end, name = one.time.start + offset, one.time.end + offset, one.line[0].notation
        if one.time.is_moment:
            moments.append(Moment(start, name))
        else:
            spans.append(Span(start, end, name))
    lay = one_at_a_time if case.vocabulary.facet(facet).exclusive else side_by_side
    return Account(Interval(offset, offset + case.duration), Marked(moments, lay(spans)), notes)


def letter(place: int) -> str:
    """What the first, the second ... case is called."""
    return chr(ord("A") + place)


def in_one_vocabulary(cases: Sequence[Case]) -> tuple[list[Case], tuple[str, ...]]:
    """The cases with their tags carried over to the vocabulary of one of them, and what had to be decided for that.

    It is the one that knows the most of all the tags, of several the first: usually the latest version. The cases are
    called A, B and so on.
    """
    ways = [_carried(cases, one.vocabulary) for one in cases if one.vocabulary != cases[0].vocabulary]
    return max([_carried(cases, cases[0].vocabulary), *ways], key=lambda way: _known(way[0]))


def _carried(cases: Iterable[Case], vocabulary: Vocabulary) -> tuple[list[Case], tuple[str, ...]]:
    carried: list[Case] = []
    notes: list[str] = []
    for place, case in enumerate(cases):
        if case.vocabulary != vocabulary:
            vocabulary = with_own_terms(case, vocabulary)
            tags, said = carry(case, vocabulary)
            was, now = (f"{one.name} {one.version}" for one in (case.vocabulary, vocabulary))
            notes += [f"{letter(place)} uses the vocabulary {was} and is read in {now}"] if was != now else []
            notes += [f"{letter(place)}: {note}" for note in said]
            case = replace(case, vocabulary=vocabulary, tags=tags)
        carried.append(case)
    return [replace(case, vocabulary=vocabulary) for case in carried], tuple(notes)


def _known(cases: Iterable[Case]) -> int:
    return sum(case.concept_of(tag) is not None for case in cases for tag in case.tags)


def common_time(accounts: Iterable[Account]) -> Interval:
    """The time that all cases have. Raises InvalidEdit where that is none."""
    wholes = [one.whole for one in accounts]
    within = Interval(max(one.start for one in wholes), min(one.end for one in wholes))
    if within.length <= 0:
        raise InvalidEdit("The recordings have no time in common at this offset; try another one")
    return within


def clipped(marked: Marked, within: Interval) -> Marked:
    """What of it lies within a range; a moment may lie on its end."""
    moments = [one for one in marked.moments if within.start <= one.at <= within.end]
    return Marked(moments, cut(marked.spans, within))
