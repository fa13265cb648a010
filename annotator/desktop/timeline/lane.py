"""What every lane of the timeline is given, and has. A new kind of lane (film, sound) is one more class like these."""

from collections.abc import Mapping
from typing import NamedTuple, Protocol

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from annotator.desktop.theme.tokens import Colours
from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from annotator.workflow.frames import CaseFrames


class Look(NamedTuple):
    """What a lane needs to know to paint: the case and its frames, the shown frame's time, the selected tag's id and
    those of all that are selected with it, colours of the theme, and those of the phases by the IRI of each concept
    under them; the part of the case that is looped. What lies left of `left` or right of `right`, in pixels, need
    not be painted.
    """

    case: Case
    frames: CaseFrames
    at: Ms
    selected: str | None
    all_selected: frozenset[str]
    colours: Colours
    phases: Mapping[str, str]
    loop: Interval | None
    left: float
    right: float


class Lane(Protocol):
    """A strip of the timeline: its name, its height in pixels, and how it paints its stretch of the case."""

    name: str
    height: int

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None: ...


def extent(tag: Tag, at: Ms) -> tuple[Ms, Ms]:
    """Start and end as drawn: a running tag up to the shown frame, as what comes after is not known yet."""
    return tag.start, max(tag.start, at) if tag.end is None else tag.end
