"""What is under a point of the timeline: a lane, a tag, an edge of one."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF

from annotator.desktop.editing.controller import Edge
from annotator.desktop.timeline.bands import FacetBand
from annotator.desktop.timeline.lane import Lane, extent
from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Tag
from annotator.model.timecode import Ms

GRAB = 5
"""Pixels on either side of an edge that take hold of it, or draw another edge to it."""


class Hits(NamedTuple):
    """The lanes with their areas, their scale, and the shown frame's time, up to which running tags are drawn."""

    areas: Sequence[tuple[Lane, QRectF]]
    scale: Scale
    at: Ms

    def lane(self, point: QPointF) -> Lane | None:
        return next((lane for lane, _ in self._under(point)), None)

    def tag(self, point: QPointF) -> Tag | None:
        """The tag under the point, or the moment nearby."""
        for lane, area in self._under(point):
            if isinstance(lane, FacetBand):
                x, scale = point.x(), self.scale
                around = scale.at(x - GRAB) - 1, scale.at(x + GRAB) + 1
                for tag in lane.touching(lane.row_at(area, point.y()), *around, self.at):
                    if self._covers(tag, x):
                        return tag
        return None

    def band(self, tag: Tag) -> FacetBand | None:
        """The lane that a tag stands in."""
        bands = (lane for lane, _ in self.areas if isinstance(lane, FacetBand))
        return next((band for band in bands if band.row_of(tag.id) is not None), None)

    def edge(self, point: QPointF, tag: Tag) -> Edge | None:
        """The edge of this tag that is under the point; a moment and a running tag's end have none."""
        for lane, area in self._under(point):
            if not isinstance(lane, FacetBand) or lane.row_of(tag.id) != lane.row_at(area, point.y()):
                return None
            if tag.end == tag.start:
                return None
            if abs(self.scale.x(tag.start) - point.x()) <= GRAB:
                return "start"
            if tag.end is not None and abs(self.scale.x(tag.end) - point.x()) <= GRAB:
                return "end"
        return None

    def _under(self, point: QPointF) -> list[tuple[Lane, QRectF]]:
        return [(lane, area) for lane, area in self.areas if area.top() <= point.y() < area.bottom()]

    def _covers(self, tag: Tag, x: float) -> bool:
        start, end = extent(tag, self.at)
        left, right = self.scale.x(start), self.scale.x(end)
        return left - GRAB <= x <= max(right, left + GRAB) and (start == end or x >= left)
