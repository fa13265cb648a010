"""A small timeline of the occurrences that the tables count, those of the selected rows highlighted."""

from collections.abc import Sequence, Set
from typing import Final

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annotator.desktop.theme.paint import diamond
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import BAND_CORNER, UNIT
from annotator.desktop.widgets.controls import plain_tip
from annotator.measure.durations import Visit
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.publish.report.phase_colours import PLAIN, CaseColours, case_colours
from annotator.publish.report.wording import length

_HEIGHT: Final = 6 * UNIT
_PALE: Final = 0.3
"""How opaque bands are while others are selected."""


class OccurrenceStrip(QWidget):
    """went  somebody clicked there; carries the case time"""

    went = Signal(int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._visits: Sequence[Visit] = ()
        self._colours = CaseColours({})
        self._duration: Ms = 0
        self._selected: Set[str] = frozenset()
        self._bands: list[tuple[Visit, QRectF]] = []
        self._at_width = -1
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Occurrences along the case")
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        return QSize(40 * UNIT, _HEIGHT)

    def show_visits(self, case: Case, visits: Sequence[Visit]) -> None:
        self._visits, self._duration, self._at_width = visits, case.duration, -1
        self._colours = case_colours(case)
        self.setAccessibleDescription(f"{len(visits)} occurrences")
        self.update()

    def set_off(self, notations: Set[str]) -> None:
        """Show these concepts before the others; all alike where there are none."""
        self._selected = notations
        self.update()

    def visit_at(self, x: float) -> Visit | None:
        """The one that is drawn there, the last of several."""
        return next((one for one, band in reversed(self._drawn()) if band.contains(x, _HEIGHT / 2)), None)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.colours.raised))
        painter.drawRoundedRect(QRectF(self.rect()), BAND_CORNER, BAND_CORNER)
        for one, band in self._drawn():
            is_pale = self._selected and one.concept.notation not in self._selected
            painter.setOpacity(_PALE if is_pale else 1)
            if one.start == one.end:
                diamond(painter, band.center().x(), band.center().y(), self._theme.colours.warning)
            else:
                colour = self._colours.of(one.concept.iri, one.tag_id) or PLAIN
                painter.setBrush(QColor(colour.fill))
                painter.drawRoundedRect(band, 2, 2)
        painter.end()

    def _drawn(self) -> Sequence[tuple[Visit, QRectF]]:
        """The occurrences with their bands; of those of one concept that would lie in one pixel, the first."""
        if self._at_width != self.width():
            scale, last = self.width() / max(self._duration, 1), dict[str, int]()
            self._at_width, self._bands = self.width(), []
            for one in self._visits:
                pixel = int(one.start * scale)
                if last.get(one.concept.iri) != pixel or (one.end - one.start) * scale > 2:
                    last[one.concept.iri] = pixel
                    self._bands.append((one, self._band(one)))
        return self._bands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            at = round(self._duration * event.position().x() / max(self.width(), 1))
            self.went.emit(min(max(at, 0), self._duration))

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent):
            found = self.visit_at(event.pos().x())
            words = plain_tip(f"{found.concept.label()}, {length(found.start)} to {length(found.end)}") if found else ""
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)

    def _band(self, one: Visit) -> QRectF:
        """At least two pixels wide; of a moment, as wide as its mark."""
        scale = self.width() / max(self._duration, 1)
        if one.start == one.end:
            return QRectF(one.start * scale - UNIT, 0, 2 * UNIT, _HEIGHT)
        return QRectF(one.start * scale, UNIT, max((one.end - one.start) * scale - 1, 2), _HEIGHT - 2 * UNIT)
