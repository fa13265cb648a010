"""The operation on a macular hole as it is drawn and heard.

The drawn left eye is shown as in a mirror: a right eye as the surgeon at the head of the table sees it, 12 o'clock
down and the temporal side on the right.
"""

from ..stage import MACULAR, WIDE, Exchange, Gel, Port, Scene, Sounds, Stage
from . import plan
from .retina import Retina
from .visits import VISITS

PORTS = (
    Port((0.575, 0.385), 1.6, 68.4, (0.10, 0.30, 0.62)),
    Port((-0.590, -0.350), 3.1, 65.6, (0.46, 0.14, 0.10)),
    Port((0.590, -0.350), 4.6, 67.0, (0.46, 0.14, 0.10)),
)
"""Infusion and two working ports."""

STAGE = Stage(
    scenes=(Scene(0.0, None), Scene(6.2, WIDE), Scene(23.9, MACULAR), Scene(51.0, WIDE), Scene(64.2, None)),
    ports=PORTS,
    visits=VISITS,
    infusion=plan.INFUSION,
    gel=Gel(0.55, ((0.40, (9.9, 16.4)), (0.12, (18.6, 22.4)), (0.03, (22.4, 23.4))), (9.0, 18.0)),
    hyaloid=plan.HYALOID,
    exchange=Exchange(plan.AIR, plan.LAKE),
    retina=Retina,
    sounds=Sounds(suction=((17.4, 19.4), (27.6, 29.4), (53.0, 58.2)), gurgle=((55.0, 58.2),), notes=((52.2, 880),)),
    mirrored=True,
)
