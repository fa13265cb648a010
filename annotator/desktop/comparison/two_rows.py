"""Two people's bands under each other on one clock, with what differs between them."""

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annotator.desktop.comparison.compared import Compared
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import BAND_CORNER, UNIT
from annotator.desktop.widgets.controls import plain_tip
from annotator.measure.agreement.spans import Piece, Span
from annotator.model.interval import Interval
from annotator.publish.report.phase_colours import PLAIN, phase_fills
from annotator.publish.report.wording import length

_ROW: Final = 5 * UNIT
_BETWEEN: Final = 2 * UNIT
"""Height of the rows, and of the strip between them that marks where they differ."""


class TwoRows(QWidget):
    """went  somebody clicked there; carries the case time"""

    went = Signal(int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._found: Compared | None = None
        self._fills: Mapping[str, str] = {}
        self._selected: Piece | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumHeight(self.sizeHint().height())
        self.setAccessibleName("This case above, the other below")
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        return QSize(40 * UNIT, 2 * _ROW + _BETWEEN)

    def show_compared(self, found: Compared) -> None:
        """Show both; nothing is set off."""
        self._found, self._selected = found, None
        fills = phase_fills(found.case.vocabulary)
        self._fills = {one.notation: fills.get(one.iri, PLAIN.fill) for one in found.case.vocabulary.concepts}
        self.setAccessibleDescription(f"{len(found.disagreements)} disagreements")
        self.update()

    def set_off(self, piece: Piece | None) -> None:
        """Frame a stretch in which they differ."""
        self._selected = piece
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        colours = self._theme.colours
        for top in (0, _ROW + _BETWEEN):
            painter.setBrush(QColor(colours.raised))
            painter.drawRoundedRect(QRectF(0, top, self.width(), _ROW), BAND_CORNER, BAND_CORNER)
        if self._found is not None:
            for spans, top in ((self._found.mine, 0), (self._found.theirs, _ROW + _BETWEEN)):
                for span in spans:
                    painter.setBrush(QColor(self._fills.get(span.name, PLAIN.fill)))
                    painter.drawRoundedRect(self._area(span.start, span.end, top + 2, _ROW - 4), 2, 2)
            painter.setBrush(QColor(colours.warning))
            for piece in self._found.disagreements:
                painter.drawRect(self._area(piece.start, piece.end, _ROW + _BETWEEN / 4, _BETWEEN / 2))
        if self._selected is not None:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QColor(colours.text))
            area = self._area(self._selected.start, self._selected.end, 0, 2 * _ROW + _BETWEEN)
            painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()

    def _area(self, start: int, end: int, top: float, height: float) -> QRectF:
        """At least two pixels wide."""
        within = self._within
        scale = self.width() / max(within.length, 1)
        return QRectF((start - within.start) * scale, top, max((end - start) * scale - 1, 2), height)

    @property
    def _within(self) -> Interval:
        return self._found.agreement.within if self._found is not None else Interval(0, 1)

    def _time_at(self, x: float) -> int:
        within = self._within
        at = within.start + round(within.length * x / max(self.width(), 1))
        return min(max(at, within.start), within.end)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton and self._found is not None:
            self.went.emit(self._time_at(event.position().x()))

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent):
            span = self._span_at(event.pos().x(), event.pos().y())
            QToolTip.showText(event.globalPos(), plain_tip(self._says(span)) if span else "", self)
            return True
        return super().event(event)

    def _span_at(self, x: float, y: float) -> Span | None:
        if self._found is None:
            return None
        spans, at = (self._found.mine if y < _ROW + _BETWEEN / 2 else self._found.theirs), self._time_at(x)
        return next((span for span in spans if span.start <= at < span.end), None)

    def _says(self, span: Span) -> str:
        labels = self._found.agreement.labels if self._found is not None else {}
        return f"{labels.get(span.name, span.name)}, {length(span.start)} to {length(span.end)}"
