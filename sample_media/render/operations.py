"""The invented operations that can be rendered."""

from pathlib import Path
from typing import NamedTuple

from .dissection.script import SCRIPT as DISSECTION_SCRIPT
from .dissection.stage import STAGE as DISSECTION_STAGE
from .hole.script import SCRIPT as HOLE_SCRIPT
from .hole.stage import STAGE as HOLE_STAGE
from .script import Script
from .stage import Stage


class Operation(NamedTuple):
    """What happens and what is said, and how it is drawn and heard; `out` is its bundled recording."""

    out: Path
    script: Script
    stage: Stage


_HERE = Path(__file__).resolve().parent.parent

MODEL_EYE = Operation(_HERE / "model-eye.mp4", DISSECTION_SCRIPT, DISSECTION_STAGE)
MACULAR_HOLE = Operation(_HERE / "macular-hole" / "macular-hole.mp4", HOLE_SCRIPT, HOLE_STAGE)

OPERATIONS = {operation.out.stem: operation for operation in (MODEL_EYE, MACULAR_HOLE)}
