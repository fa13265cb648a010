"""Where the parts of a drawn retina chart are, in pixels; see model/retina for the geometry itself."""

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPainterPath

from annotator.model.place import HOURS, Eye, Field
from annotator.model.retina import Round, View, Wedge, field_at, outline, point

SMALL, LARGE = 50, 148
"""Radius of the disc in pixels: beside words, and where every field is large enough for WCAG 2.2, 2.5.8.

A square of 24 pixels fits between the sides of a field of 30 degrees from 45 pixels outward, 12 / tan 15°, so the
innermost zone, which tapers to a tip, has to reach 70 pixels, and 86 where the optic disc covers some of it.
"""

_FIGURES = 14
"""Pixels around the disc for the clock hours."""
_LETTERS = 14
"""Pixels to the left and right of those, on a large chart, for the letters of nose and temple."""


class ChartShape:
    """A chart of a given radius: small with the four main hours around it, or large with all of them."""

    def __init__(self, radius: float) -> None:
        self.radius = radius
        self.is_large = radius >= LARGE
        beside = _LETTERS if self.is_large else 0
        self.size = QSize(round(2 * (radius + _FIGURES + beside)), round(2 * (radius + _FIGURES)))
        self.middle = QPointF(self.size.width() / 2, self.size.height() / 2)

    @property
    def hours(self) -> tuple[int, ...]:
        """The clock hours that are written around the disc."""
        return tuple(HOURS) if self.is_large else (12, 3, 6, 9)

    @property
    def out(self) -> float:
        """How far from the middle the hours are written, with the disc's radius as 1."""
        return 1 + (_FIGURES / 2 + 0.5) / self.radius

    @property
    def letters(self) -> tuple[QPointF, QPointF]:
        """Where the letters of nose and temple stand: beside a large disc, in the upper corners of a small one."""
        right = self.size.width() - _LETTERS / 2
        height = self.middle.y() if self.is_large else _FIGURES
        return QPointF(_LETTERS / 2, height), QPointF(right, height)

    def pixel(self, x: float, y: float) -> QPointF:
        return self.middle + QPointF(x, y) * self.radius

    def field_under(self, at: QPointF, view: View, eye: Eye | None) -> Field | None:
        off = (at - self.middle) / self.radius
        return field_at(off.x(), off.y(), view, eye)

    def outline(self, field: Field, view: View, eye: Eye | None) -> QPainterPath:
        """Empty for a part that is not drawn as nobody says which eye it is."""
        found = outline(field, view, eye)
        if isinstance(found, Wedge):
            return self._wedge(found)
        path = QPainterPath()
        if isinstance(found, Round):
            radius = found.radius * self.radius
            path.addEllipse(self.pixel(*found.middle), radius, radius)
        return path

    def _wedge(self, found: Wedge) -> QPainterPath:
        inner, outer, start, end = found
        path = QPainterPath(self.pixel(*point(inner, start)))
        # Qt counts angles against the clock from the right.
        path.arcTo(self._round(outer), 90 - start, start - end)
        path.arcTo(self._round(inner), 90 - end, end - start)
        path.closeSubpath()
        return path

    def _round(self, radius: float) -> QRectF:
        pixels = radius * self.radius
        return QRectF(self.middle.x() - pixels, self.middle.y() - pixels, 2 * pixels, 2 * pixels)
