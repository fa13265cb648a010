"""The thumbnails: what the recording shows along the visible range, side by side.

Each picture is the nearest key frame at or before the time of its left edge; closer than key frames usually lie,
the very frame there, once the review copy has given it.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import floor

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImageReader, QPainter, QPixmap

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import write
from annotator.desktop.theme.tokens import PICTURE_GROUND, UNIT
from annotator.desktop.timeline.frame_strip import FrameStrip
from annotator.desktop.timeline.lane import Look, Words, recording_name
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.desktop.timeline.strips import Film
from annotator.media.pictures.thumbnails import Thumbnail
from annotator.model.timecode import SECOND, Ms

_MOST_KEPT = 400
"""Pictures that are kept ready to paint."""

_USUAL = 16 / 9

_CLOSE: Ms = SECOND
"""From one picture to the next, from where on the very frames are wanted."""


class FilmLane:
    """Paints what the maker has so far, and tells it what is looked at. Of several recordings each has its name."""

    name = "thumbnails"
    height = 40

    def __init__(self, maker: StripMaker, closely: FrameStrip) -> None:
        self._maker = maker
        self._closely = closely
        self._ready: dict[tuple[Film, int, int], QPixmap] = {}

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        self._maker.look_at(scale.start, scale.end)
        self._closely.begin()
        strip = area.adjusted(0, 1, 0, -3)
        painter.fillRect(strip, QColor(look.colours.raised))
        parts = zip(self._maker.films, pairwise(look.case.borders), strict=True)
        for number, (film, (start, end)) in enumerate(parts):
            if not scale.shows(start, end):
                continue
            part = QRectF(scale.x(start), strip.top(), scale.x(end) - scale.x(start), strip.height())
            if len(film):
                seen = strip.intersected(QRectF(look.left, strip.top(), look.right - look.left, strip.height()))
                self._paint_film(painter, part, seen, film, (start, end))
            words = [recording_name(look.case, number)] if len(self._maker.films) > 1 else []
            words += [film.says] if film.says else []
            if number:
                painter.fillRect(QRectF(part.left() - 1, area.top(), 3, area.height()), QColor(look.colours.panel))
            if words:
                _write(painter, part.intersected(area), ": ".join(words), look)
        return ()

    def _paint_film(self, painter: QPainter, part: QRectF, strip: QRectF, film: Film, span: tuple[Ms, Ms]) -> None:
        """`part` is where the whole recording would lie, mostly far outside of what is seen of the strip."""
        seen = part.intersected(strip)
        painter.save()
        painter.setClipRect(seen, Qt.ClipOperation.IntersectClip)
        painter.fillRect(seen, QColor(PICTURE_GROUND))
        sharpness = painter.device().devicePixelRatioF()
        first = film.at(0)
        pixels = round(strip.height() * sharpness)
        width = (self._pixmap(film, first, pixels).width() if first else pixels * _USUAL) / sharpness + 1
        number = floor((seen.left() - part.left()) / width)
        apart = width / part.width() * (span[1] - span[0])
        while (x := part.left() + number * width) < seen.right():
            at = round(number * apart)
            pixmap = self._closely.at(span[0] + at, pixels) if apart < _CLOSE else None
            thumbnail = film.at(at)
            if pixmap is None and thumbnail is not None:
                pixmap = self._pixmap(film, thumbnail, pixels)
            if pixmap is not None:
                pixmap.setDevicePixelRatio(sharpness)
                painter.drawPixmap(QPointF(round(x * sharpness) / sharpness, strip.top()), pixmap)
            number += 1
        painter.restore()

    def _pixmap(self, film: Film, thumbnail: Thumbnail, height: int) -> QPixmap:
        key = (film, thumbnail.time, height)
        pixmap = self._ready.pop(key, None)
        if pixmap is None:
            pixmap = decoded(thumbnail, height)
            while len(self._ready) >= _MOST_KEPT:
                del self._ready[next(iter(self._ready))]
        self._ready[key] = pixmap
        return pixmap


def _write(painter: QPainter, area: QRectF, says: str, look: Look) -> None:
    """Words on a plate, so that they can be read over pictures too."""
    painter.setFont(typeface.small())
    words = area.adjusted(2 * UNIT, 0, -2 * UNIT, 0)
    if words.width() < 4 * UNIT:
        return
    plate = QRectF(words)
    plate.setWidth(min(painter.fontMetrics().horizontalAdvance(says) + UNIT, words.width()))
    painter.fillRect(plate.adjusted(-UNIT, 2 * UNIT, UNIT, -2 * UNIT), QColor(look.colours.raised))
    write(painter, words.toRect(), says, look.colours.muted)


def decoded(thumbnail: Thumbnail, height: int) -> QPixmap:
    """The picture, so many device pixels high."""
    buffer = QBuffer()
    buffer.setData(QByteArray(thumbnail.jpeg))
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer, QByteArray(b"jpeg"))
    stored = reader.size()
    reader.setScaledSize(QSize(max(round(stored.width() * height / max(stored.height(), 1)), 1), height))
    return QPixmap.fromImage(reader.read())
