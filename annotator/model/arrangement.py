"""Other recordings for a case, or the same in another order; each tag stays on the recording that it was set on."""

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from annotator.errors import InvalidEdit
from annotator.model.case import Case, Tag
from annotator.model.edits import Edited, name_of
from annotator.model.interval import Interval, union
from annotator.model.pieces import pieces
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.timecode import Ms, clock


def arrange(case: Case, recordings: Sequence[Recording], new_ids: Iterator[str]) -> Edited:
    """Let the case have these recordings, in this order; those with an id that it knows are the ones it had.

    A tag over a border goes on as one where its parts still follow each other, else as one tag a part: the first part
    keeps the id, `new_ids` gives the others theirs. What lies on a recording that is left out goes with it. A running
    tag runs on where only new recordings follow, else it ends with its recording.

    Raises InvalidEdit for a case without recordings, for an id given twice, and for a tag past the end of the last
    recording, which would come to lie on another one.
    """
    ids = [one.id for one in recordings]
    if not ids:
        raise InvalidEdit("a case needs a recording; close the case instead, or add the right one first")
    if len(set(ids)) < len(ids):
        raise InvalidEdit("the same recording is given twice; give each once")
    move = _Move(case, replace(case, recordings=tuple(recordings), tags=()), new_ids)
    tags = [moved for tag in case.tags for moved in move.tags(tag)]
    lost = len(case.by_id.keys() - {tag.id for tag in tags})
    return Edited(replace(move.after, tags=in_order(tags)), _says(case, recordings, lost))


def tags_lost(case: Case, recordings: Sequence[Recording]) -> list[Tag]:
    """The tags of which `arrange` would take away all or a part, as they lie on recordings that are left out."""
    kept = {one.id for one in recordings}
    gone = {number for number, one in enumerate(case.recordings) if one.id not in kept}
    return [tag for tag in case.tags if any(piece.recording in gone for piece in pieces(case, tag.start, tag.end))]


class _Move:
    """From the case as it was to one with other recordings and no tags yet."""

    def __init__(self, before: Case, after: Case, new_ids: Iterator[str]) -> None:
        self.before = before
        self.after = after
        self._new_ids = new_ids
        now = {one.id: number for number, one in enumerate(after.recordings)}
        self._now = [now.get(one.id) for one in before.recordings]
        """Of each recording that there was, where it stands now; None for one that is left out."""
        self._tail = max((after.borders[number + 1] for number in self._now if number is not None), default=0)
        """Where the last of the recordings that there were ends; after it there are only new ones."""

    def tags(self, tag: Tag) -> list[Tag]:
        """What becomes of a tag: one or several, or none where its recordings are left out."""
        if tag.end == tag.start:
            return self._moment(tag)
        self._refuse_past_end(tag, is_past=tag.start >= self.before.duration)
        ranges = union(self._ranges(tag))
        if tag.is_running and self._stays_last and tag.start >= self.before.duration:
            return [replace(tag, start=tag.start - self.before.duration + self._tail)]
        return [
            replace(
                tag,
                id=tag.id if number == 0 else next(self._new_ids),
                start=one.start,
                end=None if tag.is_running and one.end == self._tail else one.end,
            )
            for number, one in enumerate(ranges)
        ]

    def _ranges(self, tag: Tag) -> Iterator[Interval]:
        """The time that the tag covers now, in as many ranges as there are recordings under it."""
        for piece in pieces(self.before, tag.start, tag.end):
            now, length = self._now[piece.recording], self.before.recordings[piece.recording].duration
            if now is not None:
                border = self.after.borders[now]
                end = max(length, piece.start) if piece.end is None else piece.end
                yield Interval(border + piece.start, border + end)

    def _moment(self, tag: Tag) -> list[Tag]:
        self._refuse_past_end(tag, is_past=tag.start > self.before.duration)
        spot = self.before.spot(tag.start)
        now = self._now[spot.recording]
        if now is None:
            return []
        length = self.before.recordings[spot.recording].duration
        # On the very end of its recording it would count for the one that follows now.
        within = spot.at if self._stays_last else min(spot.at, max(length - 1, 0))
        at: Ms = self.after.borders[now] + within
        return [replace(tag, start=at, end=at)]

    @property
    def _stays_last(self) -> bool:
        """Whether the recording that was the last still is."""
        return self._now[-1] == len(self.after.recordings) - 1

    def _refuse_past_end(self, tag: Tag, *, is_past: bool) -> None:
        is_past = is_past or (tag.end or 0) > self.before.duration
        if is_past and self._now[-1] is not None and not self._stays_last:
            raise InvalidEdit(
                f"{name_of(self.before, tag)} at {clock(tag.start)} is past the end of its recording, and would "
                "fall on another one; move or delete it first"
            )


def _says(before: Case, recordings: Sequence[Recording], lost: int) -> str:
    was, now = [one.id for one in before.recordings], [one.id for one in recordings]
    added = [_name(one) for one in recordings if one.id not in was]
    gone = [_name(one) for one in before.recordings if one.id not in now]
    said = [f"{', '.join(added)} added"] if added else []
    if gone:
        with_tags = f" with {lost} tag{'s' * (lost != 1)}" if lost else ""
        said.append(f"{', '.join(gone)} removed{with_tags}")
    if [one for one in was if one in now] != [one for one in now if one in was]:
        said.append("the recordings are reordered")
    return "; ".join(said) or "the recordings are unchanged"


def _name(recording: Recording) -> str:
    """Without its folders."""
    return recording.path.rpartition("/")[2]
