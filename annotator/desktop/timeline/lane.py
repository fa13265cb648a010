"""What every lane of the timeline is given, and has. A new kind of lane is one more class like these."""

from collections.abc import Sequence
from pathlib import PurePath
from typing import NamedTuple, Protocol

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QPainter

from annotator.desktop.theme.tokens import Colours
from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from annotator.publish.report.phase_colours import CaseColours
from annotator.workflow.frames import CaseFrames


class Look(NamedTuple):
    """What a lane needs to know to paint: the case and its frames, the shown frame's time, the selected tag's id and
    those of all that are selected with it, colours of the theme and of the phases; the part of the case that is
    looped. What lies left of `left` or right of `right`, in pixels, need not be painted.
    """

    case: Case
    frames: CaseFrames
    at: Ms
    selected: str | None
    all_selected: frozenset[str]
    colours: Colours
    phases: CaseColours
    loop: Interval | None
    left: float
    right: float

    def ground(self, concept: str, tag_id: str = "") -> str:
        """Of a concept, given its IRI, or of a tag with it: the colour of its phase, or of a plain bar."""
        colour = self.phases.of(concept, tag_id)
        return colour.fill if colour else self.colours.bar


class Words(NamedTuple):
    """Words in a lane: where they stand, in which ink, and on which ground. The playhead passes behind them.

    `is_plate` where they stand over something else, and bring their ground with them.
    """

    area: QRectF
    text: str
    font: QFont
    ink: str
    ground: str
    is_plate: bool = False


class Lane(Protocol):
    """A strip of the timeline: its name, its height in pixels, and how it paints its stretch of the case.

    What it gives back is written once the playhead is painted.
    """

    name: str
    height: int

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]: ...


def extent(tag: Tag, at: Ms) -> tuple[Ms, Ms]:
    """Start and end as drawn: a running tag up to the shown frame, as what comes after is not known yet."""
    return tag.start, max(tag.start, at) if tag.end is None else tag.end


def recording_name(case: Case, number: int) -> str:
    """A recording's number, from 1, and the name of its file."""
    return f"{number + 1}  {PurePath(case.recordings[number].path).name}"
