"""The dissection of a fibrovascular membrane as it is drawn and heard."""

from ..stage import WIDE, Bleed, Exchange, Gel, Laser, Port, Scene, Sounds, Stage
from . import plan
from .retina import Retina
from .visits import VISITS

_PORTS = (
    Port((0.575, 0.385), 2.0, 102.7, (0.10, 0.30, 0.62)),
    Port((-0.590, -0.350), 3.6, 99.7, (0.10, 0.45, 0.40)),
    Port((0.590, -0.350), 5.2, 101.2, (0.10, 0.45, 0.40)),
    Port((0.060, -0.680), 6.7, 98.4, (0.72, 0.55, 0.10)),
)
"""Infusion, two working ports, and one for the fixed light."""

STAGE = Stage(
    scenes=(Scene(0.0, None), Scene(8.0, WIDE), Scene(96.8, None)),
    ports=_PORTS,
    visits=VISITS,
    infusion=plan.INFUSION,
    gel=Gel(0.62, ((0.46, (13.4, 21.8)), (0.13, (25.5, 30.0)), (0.03, (30.0, 33.0))), (12.0, 23.0)),
    hyaloid=plan.HYALOID,
    exchange=Exchange(plan.AIR, plan.LAKE, plan.OIL),
    retina=Retina,
    fixed=(3, (46.6, 69.4)),
    bleed=Bleed(plan.BLEED, plan.BLEED_FROM, plan.BLEED_FULL),
    laser=Laser(plan.BURNS),
    sounds=Sounds(
        suction=((35.2, 37.2), (56.4, 59.5), (71.0, 77.2), (90.0, 95.0)),
        gurgle=((73.0, 77.2),),
        raised=((54.6, 58.9),),
        ready=((78.3, 78.42), (78.55, 78.67)),
        notes=((54.60, 660), (54.80, 880), (58.90, 880), (59.10, 660)),
    ),
)
