"""Edits are values: each takes a case and returns the changed case with a line that says what was done.

Times given here are frame times already; ids of new tags are made by the caller (`new_id`), so that
every function here gives the same result for the same arguments.
"""

from collections.abc import Iterable, Sequence
from itertools import islice
from operator import attrgetter
from typing import Any, Literal, NamedTuple, Protocol
from uuid import uuid4

from msgspec.structs import replace

from annotator.errors import InvalidEdit, UnknownName
from annotator.model.case import Case, Eye, Tag, with_tags
from annotator.model.facts import EYE, Fact, KnownFacts
from annotator.model.interval import Interval
from annotator.model.recording import Altered, View
from annotator.model.retina import VIEWS, depends_on_eye, mirror
from annotator.model.roles import Roles
from annotator.model.tag_list import FOR_EVER, in_order
from annotator.model.timecode import Ms, clock
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary, label_in
from annotator.plain_text import quoted


class Edited(NamedTuple):
    """A changed case, and what changed, as one line for the user."""

    case: Case
    says: str


class Edit(Protocol):
    """A change waiting to be applied to the case as it is then."""

    def __call__(self, case: Case, /) -> Edited: ...


def new_id() -> str:
    """A fresh IRI for a tag, a recording or a case (RFC 4122, version 4)."""
    return uuid4().urn


def name_of(case: Case, tag: Tag) -> str:
    """What to call a tag in a sentence: its concept's label, else the term as it stands."""
    concept = case.concept_of(tag)
    return concept.label() if concept else tag.concept


# --- tagging while the recording plays -------------------------------------------------------------


def begin(case: Case, tag: Tag) -> Edited:
    """Begin `tag` at its start; in an exclusive facet the tag there gives way.

    A tag under way at that time ends there. Where it had an end already, the new one takes over the
    rest; where a later tag of the facet follows, the new one ends at that one's start; otherwise it
    runs on. A tag of the facet that starts at that very time becomes the new one.
    """
    tag = replace(tag, end=None)
    _check_new(case, [tag])
    facet = case.facet_of(tag)
    says = f"{name_of(case, tag)} begins at {clock(tag.start)}"
    if facet is None or not facet.exclusive:
        return Edited(with_tags(case, [tag]), says)
    at = tag.start
    under_way = [peer for peer in case.covering(at) if case.facet_of(peer) == facet]
    ended = [replace(peer, end=at) for peer in under_way if peer.start < at]
    here = beginning_with(case, tag)
    if here is not None:
        says = f"{name_of(case, here)} becomes {name_of(case, tag)}"
        return Edited(with_tags(case, [*ended, replace(here, concept=tag.concept)]), says)
    later = (peer.start for peer in case.near(at, FOR_EVER, facet.name) if peer.start > at and not _is_moment(peer))
    ends = [peer.end for peer in under_way if peer.end is not None]
    end = min([*ends, *islice(later, 1)], default=None)
    if ended:
        says += f"; {', '.join(name_of(case, peer) for peer in ended)} ends there"
    return Edited(with_tags(case, [*ended, replace(tag, end=end)]), says)


def beginning_with(case: Case, tag: Tag) -> Tag | None:
    """The tag that starts when `tag` does and that it would take the place of, as only one may be there; None: none."""
    facet = case.facet_of(tag)
    if facet is None or not facet.exclusive:
        return None
    covering = case.covering(tag.start)
    return next((peer for peer in covering if peer.start == tag.start and case.facet_of(peer) == facet), None)


def finish(case: Case, tag_id: str, at: Ms) -> Edited:
    """End a running tag at `at`. Raises InvalidEdit if it is not running or would end before it starts."""
    tag = case.tag(tag_id)
    if not tag.is_running:
        raise InvalidEdit(f"{name_of(case, tag)} already ended at {clock(tag.end or 0)}")
    return move_end(case, tag_id, at)


def mark(case: Case, tag: Tag) -> Edited:
    """Set a moment: a tag without length, in a facet that has moments. Raises InvalidEdit elsewhere."""
    facet = case.facet_of(tag)
    if facet is None or not facet.moments:
        raise InvalidEdit(f"{name_of(case, tag)} needs a start and an end; only events can be moments")
    tag = replace(tag, end=tag.start)
    _check_new(case, [tag])
    return Edited(with_tags(case, [tag]), f"{name_of(case, tag)} at {clock(tag.start)}")


# --- whole tags --------------------------------------------------------------------------------------


def add(case: Case, tags: Sequence[Tag]) -> Edited:
    """Add tags as they stand, all in one change. Raises InvalidEdit for an end before its start or an id in use."""
    _check_new(case, tags)
    what = name_of(case, tags[0]) if len(tags) == 1 else f"{len(tags)} tags"
    return Edited(with_tags(case, tags), f"{what} added")


def remove(case: Case, tag_ids: Iterable[str]) -> Edited:
    """Take tags out. Raises UnknownName for an id that is not in the case."""
    gone = [case.tag(tag_id) for tag_id in tag_ids]
    what = f"{name_of(case, gone[0])} at {clock(gone[0].start)}" if len(gone) == 1 else f"{len(gone)} tags"
    return Edited(with_tags(case, [], drop={tag.id for tag in gone}), f"{what} removed")


def retag(case: Case, tag_id: str, concept: str) -> Edited:
    """Give a tag another concept (an IRI of the case's vocabulary).

    Raises InvalidEdit for one that is not, and where the tag would run into one that it may not overlap.
    """
    tag = case.tag(tag_id)
    changed = replace(tag, concept=concept)
    if case.concept_of(changed) is None:
        raise InvalidEdit(f"{concept} is not in the vocabulary {case.vocabulary.name}")
    _check_range(case, changed)
    _check_room(case, [tag], changed)
    return Edited(with_tags(case, [changed]), f"{name_of(case, tag)} becomes {name_of(case, changed)}")


def describe(case: Case, tag_ids: Iterable[str], **fields: Any) -> Edited:
    """Change what is said of tags: performer, place, certainty, note, strength, confirmed or author.

    Raises InvalidEdit for any other field: times and concepts have their own edits. Raises UnknownName for a
    performer that is not one of the case's roles.
    """
    wrong = fields.keys() - {"performer", "place", "certainty", "note", "strength", "confirmed", "author"}
    if wrong:
        raise InvalidEdit(f"a tag's {', '.join(sorted(wrong))} is not changed this way")
    if fields.get("performer"):
        case.roles.known(fields["performer"])
    tags = [case.tag(tag_id) for tag_id in tag_ids]
    what = name_of(case, tags[0]) if len(tags) == 1 else f"{len(tags)} tags"
    said = ", ".join(f"{field} changed" for field in fields)
    return Edited(with_tags(case, [replace(tag, **fields) for tag in tags]), f"{what}: {said}")


# --- edges ---------------------------------------------------------------------------------------------


def move_start(case: Case, tag_id: str, at: Ms) -> Edited:
    """Let a tag start at `at`. Raises InvalidEdit past its end or into a neighbour it may not overlap."""
    tag = case.tag(tag_id)
    return _moved(case, tag, replace(tag, start=at), f"{name_of(case, tag)} starts at {clock(at)}")


def move_end(case: Case, tag_id: str, at: Ms) -> Edited:
    """Let a tag end at `at`. Raises InvalidEdit before its start or into a neighbour it may not overlap."""
    tag = case.tag(tag_id)
    return _moved(case, tag, replace(tag, end=at), f"{name_of(case, tag)} ends at {clock(at)}")


def move_boundary(case: Case, tag_id: str, edge: Literal["start", "end"], at: Ms) -> Edited:
    """Put an edge at `at`, and with it the edge of the tag that it touches where only one may be at a time.

    Raises InvalidEdit where either of them would be left without length or run into a further one.
    """
    tag = case.tag(tag_id)
    was = tag.start if edge == "start" else tag.end
    own, other = (move_start, move_end) if edge == "start" else (move_end, move_start)
    touching = _touching(case, tag, edge)
    if was is None or touching is None:
        return own(case, tag_id, at)
    turns = [(own, tag), (other, touching)]
    grows = at < was if edge == "start" else at > was
    changed = case
    for move_one, one in reversed(turns) if grows else turns:  # whichever makes room goes first
        changed = move_one(changed, one.id, at).case
    verb = "starts" if edge == "start" else "ends"
    return Edited(changed, f"{name_of(case, tag)} {verb} at {clock(at)}, beside {name_of(case, touching)}")


def move(case: Case, tag_id: str, start: Ms, end: Ms | None) -> Edited:
    """Let a tag cover [start, end). Raises InvalidEdit as the single edges do."""
    tag = case.tag(tag_id)
    return _moved(case, tag, replace(tag, start=start, end=end), f"{name_of(case, tag)} moved to {clock(start)}")


def split(case: Case, tag_id: str, at: Ms, new_tag_id: str) -> Edited:
    """Cut a tag in two at `at`; the later part gets the new id. Raises InvalidEdit outside the tag."""
    tag = case.tag(tag_id)
    if not (tag.start < at and (tag.end is None or at < tag.end)):
        raise InvalidEdit(f"{name_of(case, tag)} is not running at {clock(at)}, so it can't be split there")
    later = replace(tag, id=new_tag_id, start=at)
    _check_new(case, [later])
    return Edited(with_tags(case, [replace(tag, end=at), later]), f"{name_of(case, tag)} split at {clock(at)}")


def join(case: Case, first_id: str, second_id: str) -> Edited:
    """Make one tag of two with the same concept, from the earlier start to the later end; notes are kept.

    Raises InvalidEdit where the concepts differ, or where between them is a tag that the whole may not overlap.
    """
    first, second = in_order([case.tag(first_id), case.tag(second_id)])
    if first.concept != second.concept:
        raise InvalidEdit(f"{name_of(case, first)} and {name_of(case, second)} are different steps; change one first")
    end = None if first.end is None or second.end is None else max(first.end, second.end)
    note = "\n".join(dict.fromkeys(filter(None, (first.note, second.note))))
    strength = "; ".join(dict.fromkeys(filter(None, (first.strength, second.strength))))
    joined = replace(first, end=end, note=note, strength=strength, place=first.place | second.place)
    _check_room(case, [first, second], joined)
    says = f"{name_of(case, first)} joined, {clock(first.start)} on"
    return Edited(with_tags(case, [joined], drop={second.id}), says)


# --- the case itself -------------------------------------------------------------------------------------


def rename(case: Case, title: str) -> Edited:
    """Give the case another title."""
    return Edited(replace(case, title=title), f"The case is called “{title}”")


def set_eye(case: Case, eye: Eye | None, *, mirrored: bool = False) -> Edited:
    """Say which eye is operated on; None: nobody says.

    The places of the tags stay at their clock hours, or are mirrored: what is nasal stays nasal.
    """
    says = "The eye is not specified" if eye is None else f"This is a {eye} eye"
    changed = replace(case, eye=eye)
    if mirrored:
        moved = [replace(tag, place=mirror(tag.place)) for tag in case.tags if depends_on_eye(tag.place)]
        return Edited(with_tags(changed, moved), f"{says}, and its places are mirrored")
    return Edited(changed, says)


def set_kind(case: Case, kind: str) -> Edited:
    """Say which kind of operation it is, by its name in the vocabulary; empty: nobody says. Raises UnknownName."""
    says = f"The kind of operation is {label_in(case.vocabulary.kind(kind).label, DEFAULT_LANGUAGE)}" if kind else ""
    return Edited(replace(case, kind=kind), says or "The kind of operation is not specified")


def set_fact(case: Case, known: KnownFacts, fact: Fact) -> Edited:
    """Say a fact, in the place of what was said under its name. `known` words what was done.

    Raises InvalidEdit for an eye that is none.
    """
    says = f"{known.called(fact.name)}: {known.told(fact)}"
    if fact.name == EYE:
        if fact.value not in tuple(Eye):
            raise InvalidEdit(f"{quoted(fact.value)} is neither the right nor the left eye")
        return set_eye(case, Eye(fact.value))
    there = any(one.name == fact.name for one in case.facts)
    put = (replace(one, value=fact.value) if one.name == fact.name else one for one in case.facts)
    return Edited(replace(case, facts=(*put, *(() if there else (fact,)))), says)


def clear_fact(case: Case, known: KnownFacts, name: str) -> Edited:
    """Say nothing any more under the name of a fact. Raises UnknownName where nothing is said."""
    if name not in (fact.name for fact in case.all_facts):
        raise UnknownName("fact in this case", name, [fact.name for fact in case.all_facts])
    if name == EYE:
        return set_eye(case, None)
    facts = tuple(fact for fact in case.facts if fact.name != name)
    return Edited(replace(case, facts=facts), f"{known.called(name)} is not said")


def replace_vocabulary(case: Case, vocabulary: Vocabulary, tags: Sequence[Tag], roles: Roles | None = None) -> Edited:
    """Put another vocabulary in, with the case's tags carried over to it. A kind that it does not know is given up.

    Where other roles are given, the case keeps those of its own that its tags name and that mean none of them.
    """
    kind = case.kind if vocabulary.has_kind(case.kind) else ""
    named = {tag.performer for tag in tags}
    known = (roles or case.roles).with_those(role for role in case.roles.listed if role.code in named)
    done_by = {code: known.meant(code).code for code in named if code}
    carried = [replace(tag, performer=done_by.get(tag.performer or "")) for tag in tags]
    changed = replace(case, vocabulary=vocabulary, tags=in_order(carried), kind=kind, roles=known)
    return Edited(changed, f"The case uses {vocabulary.name} {vocabulary.version}")


def relocate(case: Case, index: int, path: str, fingerprint: str, **facts: Any) -> Edited:
    """Say where a recording is now, and by what content it is known; of a file of another form also its facts:
    frame_rate, width, height. Tags stay as they are, and so does the duration, on which the case's clock rests.
    """
    recording = replace(case.recordings[index], path=path, fingerprint=fingerprint, **facts)
    recordings = (*case.recordings[:index], recording, *case.recordings[index + 1 :])
    return Edited(replace(case, recordings=recordings), f"recording {index + 1} is now {path}")


def mark_altered(case: Case, index: int, how: Altered) -> Edited:
    """Say that a recording is altered in a way, or take that back where it is said already."""
    recording = case.recordings[index]
    altered = tuple(sorted({*recording.altered} ^ {how}))
    recordings = (*case.recordings[:index], replace(recording, altered=altered), *case.recordings[index + 1 :])
    name = f"Recording {index + 1}" if len(case.recordings) > 1 else "The recording"
    says = f"{name} is {'' if how in altered else 'no longer '}marked as {how}"
    return Edited(replace(case, recordings=recordings), says)


def set_picture(case: Case, index: int, view: View | None) -> Edited:
    """Say how the picture of a recording stands; None: nobody says. Places stay as they are."""
    recording = replace(case.recordings[index], picture=view)
    recordings = (*case.recordings[:index], recording, *case.recordings[index + 1 :])
    name = f"recording {index + 1}" if len(case.recordings) > 1 else "the recording"
    says = f"The picture of {name} is {VIEWS[view]}" if view else f"How the picture of {name} stands is not said"
    return Edited(replace(case, recordings=recordings), says)


# --- parts shared by the edits ---------------------------------------------------------------------------


def _moved(case: Case, before: Tag, after: Tag, says: str) -> Edited:
    _check_range(case, after)
    _check_room(case, [before], after)
    return Edited(with_tags(case, [after]), says)


def _touching(case: Case, tag: Tag, edge: Literal["start", "end"]) -> Tag | None:
    """The tag of the same exclusive facet that ends where this one starts, or starts where it ends."""
    facet = case.facet_of(tag)
    if facet is None or not facet.exclusive:
        return None
    at = tag.start if edge == "start" else tag.end
    if at is None:
        return None
    peers = (peer for peer in case.near(at, at, facet.name) if peer.id != tag.id and not _is_moment(peer))
    return next((peer for peer in peers if (peer.end if edge == "start" else peer.start) == at), None)


def _check_new(case: Case, tags: Sequence[Tag]) -> None:
    """New tags need ids of their own, or they would take the place of others."""
    ids = [tag.id for tag in tags]
    taken = next((tag_id for tag_id in ids if tag_id in case.by_id), None)
    if taken is not None or len(set(ids)) < len(ids):
        raise InvalidEdit(f"two tags can't have one id{f', {taken}' if taken else ''}; give each its own")
    for tag in tags:
        _check_range(case, tag)


def _check_room(case: Case, before: Sequence[Tag], after: Tag) -> None:
    """Where only one tag may be at a time, the changed tag may not share time with any that it did not share before."""
    hit = _exclusive_neighbours(case, after)
    if not hit:
        return
    hit = hit - {tag.id for tag in before}.union(*(_exclusive_neighbours(case, tag) for tag in before))
    if hit:
        other = min((case.tag(tag_id) for tag_id in hit), key=attrgetter("start"))
        raise InvalidEdit(
            f"{name_of(case, after)} would run into {name_of(case, other)}, which starts at {clock(other.start)}; "
            "move that one first"
        )


def _exclusive_neighbours(case: Case, tag: Tag) -> set[str]:
    """Ids of the other tags that share time with this one where only one may be."""
    facet = case.facet_of(tag)
    if facet is None or not facet.exclusive:
        return set()
    covered = case.range_of(tag)
    return {
        other.id
        for other in case.near(covered.start, covered.end, facet.name)
        if other.id != tag.id and case.range_of(other).overlaps(covered)
    }


def _check_range(case: Case, tag: Tag) -> None:
    if tag.start < 0:
        raise InvalidEdit(f"{name_of(case, tag)} would start before the recording does")
    if tag.end is not None and Interval(tag.start, tag.end).length < 0:
        raise InvalidEdit(f"{name_of(case, tag)} would end at {clock(tag.end)}, before it starts at {clock(tag.start)}")
    facet = case.facet_of(tag)
    if _is_moment(tag) and facet is not None and not facet.moments:
        raise InvalidEdit(f"{name_of(case, tag)} would start and end at {clock(tag.start)}; only events can be moments")


def _is_moment(tag: Tag) -> bool:
    return tag.end == tag.start
