"""Playing one tag: once, or in a loop until something else is selected or shown."""

from PySide6.QtCore import QObject, Signal

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.times import tags_at
from annotator.model.case import Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval


class Loop(QObject):
    """The selected tag or, without one, the step under the playhead, from its first frame to its last.

    It ends when another tag is selected, and when the player leaves the tag.

    changed  the Interval that is played over and over, or None
    said     a line for the user, and whether it is a warning
    """

    changed = Signal(object)
    said = Signal(str, bool)

    def __init__(self, controller: Controller, parent: QObject) -> None:
        super().__init__(parent)
        self._controller = controller
        self._player = controller.player
        self._tag: Tag | None = None
        controller.selection_changed.connect(self._take_choice)
        controller.changed.connect(self._follow_tag)
        self._player.left_range.connect(self._take_end)

    def play_selected(self) -> None:
        """Play the selected tag from its start; it stops at the end, unless it is looped."""
        tag, is_looped = self._controller.selected, self._tag is not None
        if tag is not None and self._can_play(tag):
            self._player.seek(tag.start)
            if not is_looped:
                self._keep_to(tag, again=False)
            self._player.play()

    def toggle(self) -> None:
        """Play over and over, or go on as usual."""
        if self._tag is not None:
            self._player.leave_range()
            return
        tag = self._controller.selected or self._step_here()
        if tag is None:
            self.said.emit("Nothing to loop: select a tag, or go to a step", True)
        elif self._can_play(tag):
            self._begin(tag)
        self.changed.emit(self.interval)  # also where nothing comes of it: the button shows it

    @property
    def interval(self) -> Interval | None:
        """What is played over and over."""
        return None if self._tag is None else self._controller.case.range_of(self._tag)

    def _begin(self, tag: Tag) -> None:
        interval = self._controller.case.range_of(tag)
        if not interval.start <= self._controller.at < interval.end:
            self._player.seek(interval.start)
        if self._keep_to(tag, again=True):
            self._tag = tag
            self._player.play()

    def _keep_to(self, tag: Tag, *, again: bool) -> bool:
        kept = self._player.keep_to(self._controller.case.range_of(tag), again=again)
        if not kept:
            self.said.emit("No picture of this tag can be played here", True)
        return kept

    def _can_play(self, tag: Tag) -> bool:
        """Whether it has a beginning and an end; said where it has not."""
        name = name_of(self._controller.case, tag)
        if tag.is_running:
            self.said.emit(f"{name} has no end yet: end it first", True)
        elif tag.start == tag.end:
            self.said.emit(f"{name} is a moment: there is nothing to play over and over", True)
        return not tag.is_running and tag.start != tag.end

    def _step_here(self) -> Tag | None:
        """The tag under the playhead that says what is done: of several the one of the finest exclusive category."""
        case = self._controller.case
        here = [tag for tag in tags_at(case, self._controller.at) if case.is_exclusive(tag)]
        return here[-1] if here else None

    def _take_choice(self, tag_id: str | None) -> None:
        if self._tag is not None and tag_id is not None and tag_id != self._tag.id:
            self._player.leave_range()

    def _follow_tag(self) -> None:
        """Its edges may have been moved, or it may be gone."""
        if self._tag is None:
            return
        before, now = self._tag, self._controller.case.by_id.get(self._tag.id)
        if now is None or now.is_running or now.start == now.end:
            self._player.leave_range()
        elif (before.start, before.end) != (now.start, now.end):
            self._tag = now
            self._keep_to(now, again=True)
            self.changed.emit(self.interval)

    def _take_end(self) -> None:
        if self._tag is not None:
            self._tag = None
            self.changed.emit(None)
