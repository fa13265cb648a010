"""Make one case of two copies of it that were edited apart. Nothing of either is lost, and who is first makes no
difference.

What both copies have, unchanged, tells of the time at which they were still one: they were copied after the last
change to any tag that is the same in both. So what only one of them has changed since is known from what both have.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple
from uuid import NAMESPACE_URL, uuid5

from msgspec.structs import asdict, replace

from annotator.errors import InvalidEdit
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.facts import CONSENT_WITHDRAWN, Fact
from annotator.model.own_terms import with_terms
from annotator.model.place import print_place
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import Vocabulary
from annotator.plain_text import quoted


class Conflict(NamedTuple):
    """A difference that somebody has to look at: where, in ms, what was kept and what the other copy says; the tag, if
    it is about one.
    """

    at: Ms
    says: str
    tag_id: str = ""


class Copy(NamedTuple):
    """A case, and how many changes it has had."""

    case: Case
    revision: int


class Merged(NamedTuple):
    """The one case; in order of time what was changed in both copies, and what in one, with what it was before."""

    case: Case
    conflicts: tuple[Conflict, ...]
    taken: tuple[Conflict, ...]


def merge(one: Copy, other: Copy) -> Merged:
    """The tags of both, of a tag that differs the later version; of all else what the copy with more changes says.

    The other version of a tag that both have changed stays as a proposed tag. A tag that only one copy has stays, also
    where the other has probably deleted it. Raises InvalidEdit for cases that are not copies of one case, whose
    recordings differ, or whose vocabularies are of two versions.
    """
    _refuse_strangers(one.case, other.case)
    first, second = sorted((one, other), key=_seniority, reverse=True)
    head = _Head(first.case, second.case)
    tags = _Tags(head.case, first.case, second.case)
    return Merged(
        replace(head.case, tags=in_order(tags.merged)),
        tuple(sorted({*head.conflicts, *tags.conflicts})),
        tuple(sorted(tags.taken)),
    )


def _refuse_strangers(one: Case, other: Case) -> None:
    if one.id != other.id:
        raise InvalidEdit("these are not two copies of one case; to lay two people's cases side by side, compare them")
    if _clock(one) != _clock(other):
        raise InvalidEdit(
            "the copies have different recordings, or in another order; give both the same ones first "
            "(Recordings in this case, in the window)"
        )


def _clock(case: Case) -> list[tuple[str, Ms]]:
    return [(recording.id, recording.duration) for recording in case.recordings]


def _seniority(copy: Copy) -> tuple[int, str]:
    """By which one of two copies goes first, whichever is named first; if only tags differ, nothing depends on it."""
    return copy.revision, repr(replace(copy.case, tags=()))


class _Head:
    """Everything but the tags."""

    def __init__(self, first: Case, second: Case) -> None:
        self.conflicts: list[Conflict] = []
        self.case = replace(
            first,
            title=self._either("title", first.title, second.title),
            eye=self._either("eye", first.eye, second.eye),
            vocabulary=self._vocabulary(first.vocabulary, second.vocabulary),
            recordings=tuple(map(self._recording, first.recordings, second.recordings)),
            extra=self._extra(first.extra, second.extra),
            kind=self._either("kind of operation", first.kind, second.kind),
            roles=first.roles.with_those(second.roles.listed),
            blind_to=self._either("blind to", first.blind_to, second.blind_to),
            is_done=first.is_done and second.is_done,
            facts=self._facts(first.facts, second.facts),
            tags=(),
        )

    def _either(self, what: str, kept: Any, other: Any) -> Any:
        """What is said at all; of two things the first."""
        if kept and other and kept != other:
            self.conflicts.append(
                Conflict(0, f"{what}: {quoted(str(kept))} is kept; the other is {quoted(str(other))}")
            )
        return kept or other

    def _facts(self, kept: Iterable[Fact], other: Iterable[Fact]) -> tuple[Fact, ...]:
        """Of both; that consent is withdrawn counts, whichever copy says so."""
        ours, theirs = ({fact.name: fact for fact in facts} for facts in (kept, other))
        found: list[Fact] = []
        for name in dict.fromkeys([*ours, *theirs]):
            said = [fact for fact in (ours.get(name), theirs.get(name)) if fact]
            said.sort(key=lambda fact: fact.value != CONSENT_WITHDRAWN)
            value = self._either(name, said[0].value, said[-1].value)
            found.append(replace(said[0], value=value, extra=self._extra(said[0].extra, said[-1].extra)))
        return tuple(found)

    def _extra(self, kept: Mapping[str, Any], other: Mapping[str, Any]) -> dict[str, Any]:
        return {key: self._either(key, kept.get(key), other.get(key)) for key in sorted({*kept, *other})}

    def _recording(self, kept: Recording, other: Recording) -> Recording:
        """Where the file is now is said by the one that goes first, as copies may lie in different places."""
        name = kept.path.rpartition("/")[2]
        return replace(
            kept,
            fingerprint=self._either(f"content of {name}", kept.fingerprint, other.fingerprint),
            altered=tuple(sorted({*kept.altered, *other.altered})),
            picture=self._either(f"picture of {name}", kept.picture, other.picture),
            extra=self._extra(kept.extra, other.extra),
        )

    def _vocabulary(self, kept: Vocabulary, other: Vocabulary) -> Vocabulary:
        """With the terms that either copy has added itself."""
        if replace(kept, concepts=()) != replace(other, concepts=()):
            raise InvalidEdit(
                f"the copies use different vocabularies, {kept.name} {kept.version} and {other.name} {other.version}; "
                "carry one over first: annotator vocab carry"
            )
        for concept in other.concepts:
            same = kept.by_iri.get(concept.iri)
            if same is not None and same != concept:
                says = f"the term {quoted(same.label())} is kept; the other is {quoted(concept.label())}"
                self.conflicts.append(Conflict(0, says))
        return with_terms(kept, [concept for concept in other.concepts if concept.iri not in kept.by_iri])


class _Tags:
    """The tags of both, once it is known what they had in common."""

    def __init__(self, head: Case, first: Case, second: Case) -> None:
        self._merged: dict[str, Tag] = {}
        self._proposed: dict[str, Tag] = {}
        self.conflicts: list[Conflict] = []
        self.taken: list[Conflict] = []
        self._head = head
        these, those = ({tag.id: self._known(tag) for tag in case.tags} for case in (first, second))
        self._parted = max((tag.modified for tag_id, tag in these.items() if those.get(tag_id) == tag), default="")
        for tag_id in these.keys() | those.keys():
            self._merge(*filter(None, (these.get(tag_id), those.get(tag_id))))

    @property
    def merged(self) -> list[Tag]:
        """What an earlier merger has proposed stays as it is now."""
        return list((self._proposed | self._merged).values())

    def _known(self, tag: Tag) -> Tag:
        """The tag with its performer as the merged list of roles has it."""
        roles = self._head.roles
        if tag.performer is None or tag.performer in roles.by_code:
            return tag
        return replace(tag, performer=roles.meant(tag.performer).code)

    def _merge(self, tag: Tag, other: Tag | None = None) -> None:
        self._merged[tag.id] = tag
        if other is None:
            if tag.created and tag.created <= self._parted:
                self._tell(self.conflicts, tag, "is kept; the other copy has probably deleted it")
        elif tag != other:
            earlier, later = sorted((tag, other), key=lambda one: (one.modified, _form(one)))
            self._merged[later.id] = later
            was = ", ".join(_differences(self._head, later, earlier))
            if not was:
                return  # changed, and changed back
            if earlier.modified and earlier.modified <= self._parted:
                self._tell(self.taken, later, f"was changed in one copy; before: {was}")
            else:
                proposal = _as_proposal(earlier)
                self._proposed[proposal.id] = proposal
                self._tell(self.conflicts, later, f"was changed in both copies; kept beside it as proposed: {was}")

    def _tell(self, told: list[Conflict], tag: Tag, says: str) -> None:
        told.append(Conflict(tag.start, f"{name_of(self._head, tag)} at {clock(tag.start)} {says}", tag.id))


def _as_proposal(tag: Tag) -> Tag:
    """A tag of its own, under an id that is always the same for the same version."""
    return replace(tag, id=uuid5(NAMESPACE_URL, _form(tag)).urn, confirmed=False)


def _form(tag: Tag) -> str:
    """All of a tag as text that is the same for the same tag: a set shows its members in any order."""
    return f"{print_place(tag.place)} {replace(tag, place=frozenset())!r}"


def _differences(case: Case, kept: Tag, other: Tag) -> Iterator[str]:
    """What the other version says otherwise."""
    ours, theirs = asdict(kept), asdict(other)
    for field in (name for name in theirs if name not in ("id", "modified") and ours[name] != theirs[name]):
        yield f"{_NAMES.get(field, field)} {_said(case, other, field)}"


_NAMES: Mapping[str, str] = {"concept": "tagged as", "words": "written as", "extra": "further keys"}


def _said(head: Case, tag: Tag, field: str) -> str:
    value = getattr(tag, field)
    match field:
        case "concept":
            return name_of(head, tag)
        case "start" | "end":
            return "none yet" if value is None else clock(value)
        case "place":
            return print_place(value) or "none"
        case "confirmed":
            return "yes" if value else "no"
        case _:
            return quoted(str(value)) if value else "none"
