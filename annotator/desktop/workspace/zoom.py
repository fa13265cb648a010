"""How far the picture is zoomed, and where: values, without a widget."""

from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF

_CLOSEST = 8
"""How many pixels of the screen one of the picture may take, or how much larger than whole a small picture may be."""


class Room(NamedTuple):
    """Where the picture may be seen.

    view    all of it
    fitted  the picture in its middle, as large as it is seen whole
    actual  how much larger than fitted the picture is when each of its pixels takes one of the screen
    """

    view: QRectF
    fitted: QRectF
    actual: float


class Zoom(NamedTuple):
    """How much larger than fitted the picture is, and which point of it, from 0 to 1 each way, is in the middle."""

    factor: float = 1.0
    x: float = 0.5
    y: float = 0.5

    @property
    def is_fitted(self) -> bool:
        return self.factor <= 1

    def area(self, room: Room) -> QRectF:
        """Where the whole picture lies; it leaves no edge of the view empty that it could fill."""
        width, height = room.fitted.width() * self.factor, room.fitted.height() * self.factor
        middle = room.view.center()
        left = _held(middle.x() - self.x * width, width, room.view.left(), room.view.right())
        top = _held(middle.y() - self.y * height, height, room.view.top(), room.view.bottom())
        return QRectF(left, top, width, height)

    def zoomed(self, by: float, about: QPointF, room: Room) -> "Zoom":
        """So many times as large, the point of the picture under `about` staying where it is."""
        factor = min(max(self.factor * by, 1.0), max(_CLOSEST * room.actual, _CLOSEST))
        now, by = self.area(room), factor / self.factor
        left, top = about.x() - (about.x() - now.left()) * by, about.y() - (about.y() - now.top()) * by
        return _seen(factor, QRectF(left, top, now.width() * by, now.height() * by), room)

    def moved(self, by: QPointF, room: Room) -> "Zoom":
        """The picture taken along by so many pixels of the view."""
        return _seen(self.factor, self.area(room).translated(by), room)

    def nearer(self, about: QPointF, room: Room) -> "Zoom":
        """From fitted to one pixel for a pixel; where that would be no larger, to a whole number of them that is."""
        steps = (room.actual * number for number in range(1, 1000))
        return self.zoomed(next((one for one in steps if one > self.factor * 1.01), 2.0) / self.factor, about, room)


def _seen(factor: float, area: QRectF, room: Room) -> Zoom:
    """What shows the picture in an area, or as near to it as leaves no edge empty."""
    middle = room.view.center()
    asked = Zoom(factor, (middle.x() - area.left()) / area.width(), (middle.y() - area.top()) / area.height())
    held = asked.area(room)
    return Zoom(factor, (middle.x() - held.left()) / held.width(), (middle.y() - held.top()) / held.height())


def _held(start: float, length: float, first: float, last: float) -> float:
    """Where a side begins: in the middle where it is shorter than the view, else so that it fills the view."""
    if length <= last - first:
        return (first + last - length) / 2
    return min(max(start, last - length), first)
