"""A tag being dragged, by an edge or as a whole, with the result shown before it is dropped."""

from bisect import bisect_left
from collections.abc import Sequence
from typing import Literal, NamedTuple

from annotator.desktop.timeline.bands import FacetBand
from annotator.desktop.timeline.hits import GRAB
from annotator.desktop.timeline.scale import Scale
from annotator.errors import AnnotatorError
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.edits import Edit
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames

Grip = Literal["start", "end", "whole"]


class Held(NamedTuple):
    """Where a dragged tag would come to lie: the change, the frame to look at, from when to when its row looks
    otherwise by then, and the tags that have some time there.
    """

    edit: Edit
    at: Ms
    span: Interval
    tags: Sequence[Tag]


class Drag:
    """One tag being dragged by one of its edges, or whole by the case time `taken_at`.

    An edge takes along the one that it touches, as the edit does. A tag that may not lie over its neighbours stops
    at them: what can't be done leaves it where it was last.
    """

    def __init__(self, case: Case, frames: CaseFrames, band: FacetBand, tag: Tag, grip: Grip, taken_at: Ms) -> None:
        self._case = case
        self._frames = frames
        self.band = band
        self.tag = tag
        self.grip = grip
        self._taken_at = taken_at
        self._snaps_to = sorted({edge for one in case.tags for edge in (one.start, one.end) if edge is not None})
        self.held: Held | None = None

    @property
    def has_moved(self) -> bool:
        """Whether letting go now would change anything."""
        return self.held is not None and self.tag not in self.held.tags

    def move(self, at: Ms, scale: Scale, shown: Ms | None) -> bool:
        """Take it to a case time; drawn to edges and to the `shown` frame that are near, unless that is None.

        Returns whether it could go there.
        """
        found = self._moved_whole(at, scale, shown) if self.grip == "whole" else self._moved_edge(at, scale, shown)
        if found is not None:
            self.held = found
        return found is not None

    def _moved_edge(self, at: Ms, scale: Scale, shown: Ms | None) -> Held | None:
        edge: Literal["start", "end"] = "start" if self.grip == "start" else "end"
        to = self._frames.nearest(self._drawn(min(max(at, 0), self._case.duration), scale, shown))
        return self._tried(lambda case: edits.move_boundary(case, self.tag.id, edge, to), to, to)

    def _moved_whole(self, at: Ms, scale: Scale, shown: Ms | None) -> Held | None:
        length = (self.tag.end or self.tag.start) - self.tag.start
        start = min(max(self.tag.start + at - self._taken_at, 0), self._case.duration - length)
        to_start, to_end = self._drawn(start, scale, shown), self._drawn(start + length, scale, shown)
        if to_start == start and to_end != start + length:
            to_start = to_end - length
        first = self._frames.nearest(to_start)
        last = first if length == 0 else self._frames.nearest(first + length)
        return self._tried(lambda case: edits.move(case, self.tag.id, first, last), first, last)

    def _tried(self, edit: Edit, first: Ms, last: Ms) -> Held | None:
        tag = self.tag
        early, late = min(tag.start, first) - 1, max(tag.start, tag.end or 0, last) + 1
        try:
            changed = edit(self._case).case
        except AnnotatorError:
            return None
        near = self.band.touching(self.band.row_of(tag.id) or 0, early, late, late)
        return Held(edit, first, Interval(early, late), [changed.tag(one.id) for one in near])

    def _drawn(self, at: Ms, scale: Scale, shown: Ms | None) -> Ms:
        """The nearest of what it is drawn to within reach, else the time itself."""
        if shown is None:
            return at
        place = bisect_left(self._snaps_to, at)
        near = [*self._snaps_to[max(place - 1, 0) : place + 1], shown]
        close = [one for one in near if abs(scale.x(one) - scale.x(at)) <= GRAB]
        return min(close, key=lambda one: abs(one - at), default=at)
