"""What can be done to the open case, without a widget: reads the shown frame's time, changes the case, tells the views.

The session is the one gate for changes; nothing here keeps a copy of the case.
"""

from collections.abc import Sequence
from functools import partial
from typing import Any, Literal

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from annotator.desktop.commands.actions import State
from annotator.desktop.editing.retry import Attempt, RetryQueue
from annotator.desktop.playback.player import Player
from annotator.desktop.preferences import speeds
from annotator.errors import InvalidEdit
from annotator.model import edits
from annotator.model.arrangement import arrange
from annotator.model.case import Case, Tag
from annotator.model.edits import Edit, new_id
from annotator.model.own_terms import add_term, new_term
from annotator.model.recording import Altered, Recording, View
from annotator.model.timecode import SECOND, Ms
from annotator.store.session import Change, Session
from annotator.workflow.frames import CaseFrames

Edge = Literal["start", "end"]


class Controller(QObject):
    """One open case and its player.

    changed         the case is another one; carries the session's Change
    rearranged      its recordings are others, or in another order: all that is shown of it must be made anew;
                    carries the case time at which the frame on screen lies now
    chosen_changed  the id of the selected tag, or None
    said            a line for the user, and whether it is a warning
    """

    changed = Signal(object)
    rearranged = Signal(int)
    selection_changed = Signal(object)
    said = Signal(str, bool)

    def __init__(self, session: Session, frames: CaseFrames, player: Player, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.frames = frames
        self.player = player
        self.speeds: Sequence[float] = speeds.SPEEDS
        self._selected: str | None = None
        self._selected_too: tuple[str, ...] = ()
        self.retry = RetryQueue(session, self)
        self.retry.said.connect(self.said)
        self.retry.saved.connect(self._say_saved)
        self._says_saved = False
        self._unsubscribe = session.subscribe(self._tell)

    def leave(self) -> None:
        """Stop listening; the session stays open, and nothing is being written of it."""
        self.retry.wait_until_saved()
        self._unsubscribe()

    def close(self) -> None:
        """Stop listening and close the session, which saves it."""
        self.leave()
        self.session.close()

    # --- questions -----------------------------------------------------------------------------------------

    @property
    def case(self) -> Case:
        return self.session.case

    @property
    def at(self) -> Ms:
        """Case time of the frame on screen."""
        return self.player.at

    @property
    def selected(self) -> Tag | None:
        return self.case.by_id.get(self._selected or "")

    @property
    def all_selected(self) -> tuple[Tag, ...]:
        """The selected tags, where several are; else the selected one, or none."""
        ids = self._selected_too or ((self._selected,) if self._selected else ())
        return tuple(self.case.by_id[tag_id] for tag_id in ids if tag_id in self.case.by_id)

    @property
    def state(self) -> State:
        return State(
            has_case=True,
            writable=not self.session.read_only,
            has_picture=any(self.frames.has(number) for number in range(len(self.case.recordings))),
            # What waits for the disk may be what is to be undone or ended.
            can_undo=self.session.can_undo or bool(self.retry.waiting),
            can_redo=self.session.can_redo,
            undoes="" if self.retry.waiting else self.session.undoes,
            redoes="" if self.retry.waiting else self.session.redoes,
            something_runs=self.running() is not None or bool(self.retry.waiting),
            has_selection=self.selected is not None,
        )

    def running(self) -> Tag | None:
        """The tag that Escape ends: of those running the one begun last, an exclusive facet's first."""
        return max(self.case.running, key=lambda tag: (self.case.is_exclusive(tag), tag.start), default=None)

    # --- tagging ----------------------------------------------------------------------------------------------

    def tag(self, concept_iri: str) -> None:
        """Tag the shown frame: an event is marked, a step begins, a technique begins or, if it runs, ends."""
        new = Tag(new_id(), concept_iri, self.at, None)
        if self._make(lambda: self._tag(new)) and new.id in self.case.by_id:
            self.select(new.id)

    def tag_new(self, name: str, under: str = "", facet: str = "") -> None:
        """Tag the shown frame with a concept that the vocabulary lacks: it is added to that of the case, in one change.

        What is no name for one is said.
        """
        new = Tag(new_id(), "", self.at, None)

        def edit(case: Case) -> edits.Edited:
            term = new_term(case, name, under, facet)
            added = add_term(case, term)
            put = edits.mark if case.vocabulary.facet(term.facet).moments else edits.begin
            tagged = put(added.case, replace(new, concept=term.iri))
            return edits.Edited(tagged.case, f"{added.says}; {tagged.says}")

        if self.do(edit) and new.id in self.case.by_id:
            self.select(new.id)

    def replaced_by(self, concept_iri: str) -> str:
        """The name of the step that begins on the shown frame and would become this one; empty where none would."""
        new = Tag("", concept_iri, self.at, None)
        here = edits.beginning_with(self.case, new)
        return edits.name_of(self.case, here) if here and here.concept != concept_iri else ""

    def look_at(self, concept_iri: str) -> None:
        """Go to the next tag of a concept after the shown frame; after the last one to the first."""
        name = edits.name_of(self.case, Tag("", concept_iri, 0, None))
        tags = [tag for tag in self.case.tags if tag.concept == concept_iri]
        if not tags:
            self.said.emit(f"{name} is not tagged yet", False)
            return
        following = next((number for number, tag in enumerate(tags) if tag.start > self.at), 0)
        self.go_to_tag(tags[following].id)
        self.said.emit(f"{name}, {following + 1} of {len(tags)}", False)

    def end_running(self) -> None:
        at = self.at
        self._make(lambda: self._end_running(at))

    def start_here(self) -> None:
        self.move_selected("start", self.at)

    def end_here(self) -> None:
        self.move_selected("end", self.at)

    def move_selected(self, edge: Edge, at: Ms) -> bool:
        """Put an edge of the selected tag, and the neighbour's that it touches, at a frame; a moment moves whole."""
        tag = self.selected
        if tag is None:
            return False
        if tag.end == tag.start:
            return self.do(lambda case: edits.move(case, tag.id, at, at))
        return self.do(lambda case: edits.move_boundary(case, tag.id, edge, at))

    def split_selected(self) -> None:
        if self.selected is not None:
            tag_id, at, second = self.selected.id, self.at, new_id()
            self.do(lambda case: edits.split(case, tag_id, at, second))

    def remove_selected(self) -> None:
        ids = [tag.id for tag in self.all_selected]
        if ids:
            self.do(lambda case: edits.remove(case, ids))

    def describe_selected(self, **fields: Any) -> None:
        """Change what is said of the selected tags, all in one change; see edits.describe for the fields."""
        selected = self.all_selected
        if any(getattr(tag, field) != value for tag in selected for field, value in fields.items()):
            self.do(lambda case: edits.describe(case, [tag.id for tag in selected], **fields))

    def rename(self, title: str) -> None:
        if title and title != self.case.title:
            self.do(lambda case: edits.rename(case, title))

    def mark_altered(self, how: Altered) -> None:
        """Say of the recording on screen that it is altered in this way, or take that back."""
        index = self.case.spot(self.at).recording
        self.do(lambda case: edits.mark_altered(case, index, how))

    def set_picture(self, view: View | None) -> None:
        """Say how the picture of the recording on screen stands."""
        index = self.case.spot(self.at).recording
        if self.case.recordings[index].picture is not view:
            self.do(lambda case: edits.set_picture(case, index, view))

    def arrange(self, recordings: Sequence[Recording]) -> bool:
        """Let the case have these recordings in this order. That never waits for the disk: what is tagged meanwhile
        would come to lie on other frames.
        """
        return self.retry.make_now(lambda: self.session.do(lambda case: arrange(case, recordings, iter(new_id, ""))))

    def undo(self) -> None:
        self.retry.make(self.session.undo)

    def redo(self) -> None:
        self.retry.make(self.session.redo)

    def save(self) -> None:
        """Write the case's file, and say so once it is there."""
        self._says_saved = True
        self.retry.save()

    def save_quietly(self) -> None:
        """Say something only where that fails."""
        self.retry.save()

    def _say_saved(self) -> None:
        if self._says_saved:
            self._says_saved = False
            self.said.emit("Saved", False)

    def do(self, edit: Edit) -> bool:
        """Put a change through the gate; one that is refused is said, and nothing has changed."""
        return self._make(lambda: self.session.do(edit))

    # --- moving about -------------------------------------------------------------------------------------------

    def select(self, tag_id: str | None, together: Sequence[str] = ()) -> None:
        """Select a tag, or several `together` of which it is one."""
        too = tuple(together) if len(together) > 1 else ()
        if (tag_id, too) != (self._selected, self._selected_too):
            self._selected, self._selected_too = tag_id, too
            self.selection_changed.emit(tag_id)

    def go_to_tag(self, tag_id: str) -> None:
        self.select(tag_id)
        self.player.seek(self.case.tag(tag_id).start)

    def go_to_selected(self) -> None:
        if self.selected is not None:
            self.go_to_tag(self.selected.id)

    def move_by(self, ms: Ms) -> None:
        self.player.seek(self.at + ms)

    def second_back(self) -> None:
        self.move_by(-SECOND)

    def second_on(self) -> None:
        self.move_by(SECOND)

    def frame_back(self) -> None:
        self.player.step(-1)

    def frame_on(self) -> None:
        self.player.step(1)

    def to_start(self) -> None:
        self.player.seek(0)

    def to_end(self) -> None:
        self.player.seek(self.case.duration)

    def previous_boundary(self) -> None:
        self._go_to_boundary(self.case.boundary_before(self.at))

    def next_boundary(self) -> None:
        self._go_to_boundary(self.case.boundary_after(self.at))

    def _go_to_boundary(self, at: Ms) -> None:
        """Select the tag that begins there, or else one that ends there, so that its edge can be corrected at once."""
        there = [tag for tag in self.case.tag_list.near(at, at) if at in (tag.start, tag.end)]
        if there:
            self.select(max(there, key=partial(self._nearness, at)).id)
        self.player.seek(at)

    def _nearness(self, at: Ms, tag: Tag) -> tuple[bool, ...]:
        """Of tags with an edge at `at`, the greatest is what a person means there: a step rather than its parts."""
        return tag.start == at, tag.id == self._selected, self.case.is_exclusive(tag)

    def slower(self) -> None:
        self.player.set_speed(speeds.slower(self.speeds, self.player.speed))

    def faster(self) -> None:
        self.player.set_speed(speeds.faster(self.speeds, self.player.speed))

    # --- parts ------------------------------------------------------------------------------------------------------

    def _make(self, attempt: Attempt) -> bool:
        """Put through the gate what may wait for the disk, but not until its times mean other frames: a change of the
        order may be undone, or done again, before it.
        """
        clock = _clock(self.case)

        def make() -> None:
            if _clock(self.case) != clock:
                raise InvalidEdit("The recordings were reordered before this was saved; do it again")
            attempt()

        return self.retry.make(make)

    def _tag(self, new: Tag) -> None:
        """Raises what the session raises."""
        facet = self.case.facet_of(new)
        if facet is None:
            return
        under_way = self._under_way(new)
        if facet.moments:
            self.session.do(lambda case: edits.mark(case, new))
        elif self._begins_there(new):
            self.said.emit(f"{edits.name_of(self.case, new)} already starts at this frame", False)
        elif under_way is None:
            self.session.do(lambda case: edits.begin(case, new))
        elif facet.exclusive or not under_way.is_running:
            self.said.emit(f"{edits.name_of(self.case, under_way)} is already running here", False)
        else:
            self._finish(under_way, new.start)

    def _end_running(self, at: Ms) -> None:
        running = self.running()
        if running is not None:
            self._finish(running, at)

    def _finish(self, tag: Tag, at: Ms) -> None:
        self.session.do(lambda case: edits.finish(case, tag.id, at))

    def _under_way(self, new: Tag) -> Tag | None:
        """The tag of the same concept that covers the new one's frame, not one that begins right on it."""
        here = (tag for tag in self.case.covering(new.start) if tag.concept == new.concept and tag.start < new.start)
        return next((tag for tag in here if new.start < self.case.range_of(tag).end), None)

    def _begins_there(self, new: Tag) -> bool:
        there = self.case.covering(new.start)
        return any(tag.concept == new.concept and tag.start == new.start for tag in there)

    def _tell(self, change: Change) -> None:
        self.said.emit(change.says, False)
        if _clock(change.before) == _clock(change.after):
            self.changed.emit(change)
        else:
            self.rearranged.emit(_same_frame(change, self.at))


def _clock(case: Case) -> list[tuple[str, Ms]]:
    """What the times of a case stand on."""
    return [(recording.id, recording.duration) for recording in case.recordings]


def _same_frame(change: Change, at: Ms) -> Ms:
    """Where the frame at a case time from before a change lies after it; the beginning where its recording is gone."""
    spot = change.before.spot(at)
    shown = change.before.recordings[spot.recording].id
    now = (number for number, one in enumerate(change.after.recordings) if one.id == shown)
    return next((change.after.borders[number] + spot.at for number in now), 0)
