"""A case: one operation, in one or more recording files, with its tags. Frozen; edits make new ones."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from itertools import accumulate
from typing import Any, NamedTuple

import msgspec
from msgspec.structs import replace

from annotator.errors import UnknownName
from annotator.model.derived import derived_from
from annotator.model.facts import EYE, Fact
from annotator.model.interval import Interval
from annotator.model.place import Eye as Eye
from annotator.model.place import Place
from annotator.model.recording import Recording
from annotator.model.roles import ROLES_OF_1_0, Roles
from annotator.model.tag_list import TagList, tag_list
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Facet, Vocabulary

UNTITLED = "Untitled case"
"""What a new case is called: the name of a recording often holds the patient's, and a title is published."""


class Certainty(StrEnum):
    """How sure the person who tagged is."""

    CERTAIN = "certain"
    PROBABLE = "probable"
    UNCERTAIN = "uncertain"


class Tag(msgspec.Struct, frozen=True, gc=False):  # it holds no rings, and there may be tens of thousands
    """When, what, who, where and why.

    id         IRI, unique in the case
    concept    IRI of the concept
    start, end ms on the case's clock, half-open; `end` None: it is still running; end = start: a moment
    performer  who did it: the code of one of the case's roles, never a name; None: nobody says
    confirmed  whether a person stands behind it, or it is only proposed
    strength   of a material, as it is printed: “20 %”; else empty
    words      what was written for the concept, where that is only near to one of its names; else empty
    created, modified  UTC, as `2026-11-24T20:15:00Z`
    """

    id: str
    concept: str
    start: Ms
    end: Ms | None
    performer: str | None = None
    place: Place = frozenset()
    certainty: Certainty = Certainty.CERTAIN
    note: str = ""
    confirmed: bool = True
    author: str = ""
    created: str = ""
    modified: str = ""
    extra: Mapping[str, Any] = {}
    words: str = ""
    strength: str = ""

    @property
    def is_running(self) -> bool:
        return self.end is None


class Spot(NamedTuple):
    """A time within one recording: the recording's place in the case, from 0, and ms from its zero."""

    recording: int
    at: Ms


class Case(msgspec.Struct, frozen=True, dict=True):
    """Recordings in order, tags in order of time, and the vocabulary that the tags are taken from.

    The vocabulary and the roles travel inside the case, so that a case explains itself on any machine.
    `kind` names the kind of operation, one of the vocabulary's, or is empty. `blind_to` is the id of another case of
    the same recordings, whose tags the person who tags this one must not know, or is empty; `is_done` says that all is
    tagged. `facts` says what else is known of the operation, each name once; the eye is a field of its own.
    """

    id: str
    title: str
    vocabulary: Vocabulary
    recordings: tuple[Recording, ...]
    tags: Sequence[Tag] = ()
    eye: Eye | None = None
    extra: Mapping[str, Any] = {}
    kind: str = ""
    roles: Roles = ROLES_OF_1_0
    blind_to: str = ""
    is_done: bool = False
    facts: tuple[Fact, ...] = ()

    @property
    def all_facts(self) -> tuple[Fact, ...]:
        """What is said of the case, the eye too."""
        return (Fact(EYE, self.eye), *self.facts) if self.eye else self.facts

    def fact(self, name: str) -> str:
        """What is said of the case under the name of a fact; empty: nothing."""
        return next((fact.value for fact in self.all_facts if fact.name == name), "")

    @derived_from("recordings")
    def borders(self) -> tuple[Ms, ...]:
        """Case time at which each recording starts, and the end of the last."""
        return tuple(accumulate((recording.duration for recording in self.recordings), initial=0))

    @property
    def duration(self) -> Ms:
        """From the start of the first recording to the end of the last, in ms."""
        return self.borders[-1]

    @property
    def whole(self) -> Interval:
        return Interval(0, self.duration)

    @derived_from("tags")
    def tag_list(self) -> TagList:
        """The tags as they are looked up and changed."""
        return tag_list(self.tags)

    @property
    def by_id(self) -> Mapping[str, Tag]:
        return self.tag_list.by_id

    def tag(self, tag_id: str) -> Tag:
        """The tag with this id. Raises UnknownName."""
        try:
            return self.by_id[tag_id]
        except KeyError:
            raise UnknownName("tag", tag_id, self.by_id) from None

    def spot(self, at: Ms) -> Spot:
        """Case time as recording and time within it; a border belongs to the later recording.

        Times outside the case count from the first or the last recording's zero, so that nothing is lost.
        """
        recording = min(max(bisect_right(self.borders, at) - 1, 0), len(self.recordings) - 1)
        return Spot(recording, at - self.borders[recording])

    def at(self, spot: Spot) -> Ms:
        """Case time of a time within a recording."""
        return self.borders[spot.recording] + spot.at

    @property
    def running(self) -> list[Tag]:
        """The tags that have no end yet, in order of time."""
        return [tag for block in self.tag_list.blocks for tag in block.running]

    def covering(self, at: Ms) -> list[Tag]:
        """The tags that cover the frame at `at`, in order of time; a moment covers none."""
        return [tag for tag in self.tag_list.near(at, at) if tag.end is None or tag.end > at]

    def boundary_before(self, at: Ms) -> Ms:
        """The last start or end of a tag, or of the case itself, before `at`; the case's start where there is none."""
        whole = [edge for edge in self.whole if edge < at]
        return max([*whole, *filter(None, [self.tag_list.edge_before(at)])], default=0)

    def boundary_after(self, at: Ms) -> Ms:
        """The first start or end of a tag, or of the case itself, after `at`; the case's end where there is none."""
        edge = self.tag_list.edge_after(at)
        whole = [edge for edge in self.whole if edge > at]
        return min([*whole, *([] if edge is None else [edge])], default=self.duration)

    def near(self, first: Ms, last: Ms, facet: str) -> Iterator[Tag]:
        """The tags of a facet that start at `last` or before and end at `first` or after, in order of time.

        Raises UnknownName for an unknown facet.
        """
        return self.tag_list.near(first, last, self.terms(facet))

    def range_of(self, tag: Tag) -> Interval:
        """The time a tag covers; a running one covers what is left of the case."""
        return Interval(tag.start, max(tag.start, self.duration) if tag.end is None else tag.end)

    def concept_of(self, tag: Tag) -> Concept | None:
        """The tag's concept, or None where the vocabulary does not know the term."""
        return self.vocabulary.concept(tag.concept)

    def facet_of(self, tag: Tag) -> Facet | None:
        """The tag's facet, or None where the vocabulary does not know the term."""
        concept = self.concept_of(tag)
        return None if concept is None else self.vocabulary.facet(concept.facet)

    def is_exclusive(self, tag: Tag) -> bool:
        """Whether the tag's facet holds one tag at a time; not where the vocabulary does not know the term."""
        facet = self.facet_of(tag)
        return facet is not None and facet.exclusive

    def in_facet(self, facet: str) -> Iterator[Tag]:
        """The tags of one facet in order of time. Raises UnknownName for an unknown facet."""
        terms = self.terms(facet)
        return (tag for tag in self.tags if tag.concept in terms)

    def terms(self, facet: str) -> frozenset[str]:
        """The IRIs of a facet's concepts. Raises UnknownName for an unknown facet."""
        return frozenset(concept.iri for concept in self.vocabulary.in_facet(facet))


def with_tags(case: Case, put: Iterable[Tag], drop: Iterable[str] = ()) -> Case:
    """The case with tags added, or put in the place of those with the same id, and others taken out."""
    return replace(case, tags=case.tag_list.exchanged(put, drop))
