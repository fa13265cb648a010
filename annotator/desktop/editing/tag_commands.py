"""The rarer commands: correcting the selected tag frame by frame, and finding what is left to do."""

from bisect import bisect_left, bisect_right
from operator import attrgetter, itemgetter

from annotator.desktop.editing.controller import Controller, Edge
from annotator.desktop.playback.frame_numbers import FrameNumbers
from annotator.desktop.widgets.copied_table import copy_table
from annotator.formats.tables import tags_csv
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, gaps
from annotator.model.timecode import Ms, clock
from annotator.workflow.tag_rows import rows_of


def untagged(case: Case) -> list[Interval]:
    """What no tag of the finest exclusive facet in use covers, from the case's start to its end."""
    in_use = [one.name for one in case.vocabulary.facets if one.exclusive and any(case.in_facet(one.name))]
    tags = case.in_facet(in_use[-1]) if in_use else ()
    return gaps((case.range_of(tag) for tag in tags), case.whole)


def frame_beside(places: FrameNumbers, case: Case, at: Ms, by: int) -> Ms | None:
    """The frame boundary `by` frames from one at `at`; the case's end counts as one; None where none is known."""
    here = places.at(at)
    if here is None:
        return None
    if at >= case.duration:  # past the last frame's start already
        return places.time(places.neighbour(here, by + 1)) if by < 0 else case.duration
    if places.is_end(here) and by > 0:
        return case.duration
    return places.time(places.neighbour(here, by))


class TagCommands:
    """Verbs over an open case; each change goes through the controller's gate and says its line."""

    def __init__(self, controller: Controller) -> None:
        self._controller = controller

    # --- the selected tag ------------------------------------------------------------------------------------

    def start_earlier(self) -> None:
        self._nudge("start", -1)

    def start_later(self) -> None:
        self._nudge("start", 1)

    def end_earlier(self) -> None:
        self._nudge("end", -1)

    def end_later(self) -> None:
        self._nudge("end", 1)

    def join_next(self) -> None:
        """Make one tag of the selected one and the next of the same step."""
        selected, case = self._controller.selected, self._controller.case
        if selected is None:
            return
        later = (tag for tag in case.tags if tag.concept == selected.concept and tag.start >= selected.start)
        following = next((tag for tag in later if tag.id != selected.id), None)
        if following is None:
            self._say(f"No {edits.name_of(case, selected)} follows that this one could join")
        else:
            first, second = selected.id, following.id
            self._controller.do(lambda case: edits.join(case, first, second))

    def confirm_selected(self) -> None:
        if all(tag.confirmed for tag in self._controller.all_selected):
            self._say("What is selected is confirmed already")
        self._controller.describe_selected(confirmed=True)

    def retag(self, tag_id: str, concept: str) -> None:
        """Make a tag another step; where it has gone meanwhile, that is said."""
        if tag_id in self._controller.case.by_id:
            self._controller.do(lambda case: edits.retag(case, tag_id, concept))
        else:
            self._say("The tag whose step was to change is gone")

    def repeat_step(self) -> None:
        """Begin again, at the shown frame, the step before the one that is under way, or the last one."""
        case, at = self._controller.case, self._controller.at
        ended = [(tag.end, tag.start, tag) for tag in case.tags if tag.end is not None and tag.end <= at]
        steps = [one for one in ended if self._controller.case.is_exclusive(one[2])]
        if steps:
            self._controller.tag(max(steps, key=itemgetter(0, 1))[2].concept)
        else:
            self._say("No step ended before this frame")

    # --- going about ------------------------------------------------------------------------------------------

    def previous_gap(self) -> None:
        starts = [gap.start for gap in untagged(self._controller.case)]
        before = bisect_left(starts, self._controller.at)
        self._go_to(starts[before - 1] if before else None, "There is no gap before this frame")

    def next_gap(self) -> None:
        starts = [gap.start for gap in untagged(self._controller.case)]
        after = bisect_right(starts, self._controller.at)
        self._go_to(starts[after] if after < len(starts) else None, "There is no gap after this frame")

    def next_unconfirmed(self) -> None:
        """Select the next proposed tag and show its first frame; after the last one begin again."""
        selected, proposed = self._controller.selected, self._proposed()
        here = (selected.start, selected.id) if selected is not None else (self._controller.at - 1, "")
        later = (tag for tag in proposed if (tag.start, tag.id) > here)
        if proposed:
            self._controller.go_to_tag(next(later, proposed[0]).id)

    def previous_unconfirmed(self) -> None:
        """Select the proposed tag before and show its first frame; before the first one go to the last."""
        selected, proposed = self._controller.selected, self._proposed()
        here = (selected.start, selected.id) if selected is not None else (self._controller.at, "")
        earlier = (tag for tag in reversed(proposed) if (tag.start, tag.id) < here)
        if proposed:
            self._controller.go_to_tag(next(earlier, proposed[-1]).id)

    def next_same(self) -> None:
        """Go to the next tag of the selected one's step; after the last one to the first."""
        self._go_to_same(1)

    def previous_same(self) -> None:
        self._go_to_same(-1)

    def _go_to_same(self, by: int) -> None:
        selected, case = self._controller.selected, self._controller.case
        if selected is None:
            return
        same = [tag.id for tag in case.tags if tag.concept == selected.concept]
        number = (same.index(selected.id) + by) % len(same)
        self._controller.go_to_tag(same[number])
        name = edits.name_of(case, selected)
        self._say(f"{name}, {number + 1} of {len(same)}" if len(same) > 1 else f"There is no other {name}")

    # --- copying ------------------------------------------------------------------------------------------------

    def copy_tags(self) -> None:
        """Put the selected tags on the clipboard: for a text as a table with tabs, for a spreadsheet as CSV."""
        tags = sorted(self._controller.all_selected, key=attrgetter("start"))
        rows = rows_of(self._controller.case, tags)
        copy_table(tags_csv.dumps(rows, "\t"), tags_csv.dumps(rows))
        self._say("1 tag copied" if len(rows) == 1 else f"{len(rows)} tags copied")

    def _proposed(self) -> list[Tag]:
        """The tags that nobody has confirmed, in order of time; that there are none is said."""
        found = [tag for tag in self._controller.case.tags if not tag.confirmed]
        if not found:
            self._say("Every tag is confirmed")
        return found

    def pause(self) -> None:
        self._controller.player.pause()

    def shuttle_on(self) -> None:
        """Play forwards; where it does, faster."""
        player = self._controller.player
        if player.is_playing and not player.is_reversed:
            self._controller.faster()
        else:
            player.play()

    def shuttle_back(self) -> None:
        """Play backwards; where it does, faster."""
        player = self._controller.player
        if player.is_reversed:
            self._controller.faster()
        else:
            player.play_backwards()

    # --- parts --------------------------------------------------------------------------------------------------

    def _nudge(self, edge: Edge, by: int) -> None:
        """Put an edge of the selected tag one frame on or back, and show the frame there; a moment moves whole."""
        selected, case = self._controller.selected, self._controller.case
        if selected is None:
            return
        was = selected.start if edge == "start" else selected.end
        if was is None:
            self._say(f"{edits.name_of(case, selected)} is still running and has no end to move")
            return
        at = frame_beside(FrameNumbers(case, self._controller.frames), case, was, by)
        if at is None:
            self._say(f"The frames at {clock(was)} are unknown, because that recording is missing")
            return
        if self._controller.move_selected(edge, at) and not self._controller.player.is_playing:
            self._controller.player.seek(at)

    def _go_to(self, at: Ms | None, otherwise: str) -> None:
        if at is None:
            self._say(otherwise.capitalize())
        else:
            self._controller.player.seek(at)

    def _say(self, text: str) -> None:
        self._controller.said.emit(text, False)
