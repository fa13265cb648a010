"""The form of a script: what happens when in an invented operation, as tags and narration.

Times are seconds of the script, which is `length` seconds long; a recording of another length stretches it.
"""

from dataclasses import dataclass
from typing import NamedTuple


class Row(NamedTuple):
    """One tag. `step` is a notation of vocab/vitreoretinal.yaml; a moment has end = start, a material its strength."""

    start: float
    end: float
    step: str
    performer: str = ""
    place: str = ""
    certainty: str = "certain"
    note: str = ""
    strength: str = ""


class Line(NamedTuple):
    """One caption of the narration, in the voice of the teacher."""

    start: float
    end: float
    text: str


@dataclass(frozen=True)
class Script:
    """One operation from its first second to its last.

    steps   the tags of the category "step", in order
    others  all other tags
    """

    length: float
    steps: tuple[Row, ...]
    others: tuple[Row, ...]
    narration: tuple[Line, ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """All tags by their start, the longest first."""
        return tuple(sorted((*self.steps, *self.others), key=lambda row: (row.start, -row.end, row.step)))
