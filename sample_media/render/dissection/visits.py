"""Which instruments come into the eye for the dissection, through which port, when, and where their tips go."""

from ..instruments import Kind
from ..motion import Key
from ..optics import Target
from ..visits import Hand, Visit
from .plan import BLEED, BURNS, CUT_TIMES, CUTS, LAKE, LIFTS, MIDDLES, Lift, on_membrane


def _cut_keys() -> tuple[Key, ...]:
    keys: list[Key] = [(38.7, 0.18, 0.30, 0.12)]
    for q, (start, end) in zip(CUTS, CUT_TIMES, strict=True):
        keys.append((start, *on_membrane(q, -1.25), 0.016))
        keys.append((end, *on_membrane(q - 0.03, 1.15), 0.016))
    return (*keys, (47.0, 0.36, 0.36, 0.16))


def _forceps_keys(lifts: tuple[Lift, ...], away: Key) -> tuple[Key, ...]:
    keys: list[Key] = []
    for lift in lifts:
        u, v = lift.grip
        keys += [(lift.grasp - 0.25, u, v - 0.01, 0.03), (lift.grasp, u, v, 0.012)]
        keys += [
            (lift.free, u + lift.pull[0], v + lift.pull[1], 0.13),
            (lift.gone, u + lift.pull[0], v + lift.pull[1] - 0.02, 0.15),
        ]
    return (*keys, away)


def _shave_keys(lifts: tuple[Lift, ...], *away: Key) -> tuple[Key, ...]:
    """The cutter works in the plane under the lifted piece, then takes it."""
    keys: list[Key] = []
    for lift in lifts:
        u, v = lift.grip
        middle = on_membrane(MIDDLES[lift.piece], 0.0)
        keys += [(lift.grasp - 0.1, u + 0.09, v - 0.05, 0.07), (lift.grasp + 0.35, u + 0.05, v + 0.035, 0.02)]
        keys += [(lift.free - 0.1, middle[0] + 0.03, middle[1] + 0.10, 0.018)]
        keys += [(lift.free + 0.35, u + lift.pull[0] + 0.045, v + lift.pull[1] + 0.055, 0.10)]
        keys += [(lift.gone, u + lift.pull[0] + 0.02, v + lift.pull[1] + 0.03, 0.11)]
    return (*keys, *away)


def _laser_keys() -> tuple[Key, ...]:
    return (*((t, u + 0.05 * (0.3 - u), v - 0.05, 0.055) for t, (u, v) in BURNS[::3]), (87.2, 0.45, 0.38, 0.2))


_CLOSED = tuple((lift.grasp, lift.gone + 0.1) for lift in LIFTS)

# fmt: off
VISITS = (
    Visit(Kind.LIGHT_PIPE, Hand.LEFT, (
        (9.2, -0.60, -0.38, 0.90), (10.0, -0.22, -0.06, 0.86), (11.2, -0.12, 0.02, 0.84), (12.4, -0.56, -0.32, 0.86),
        (15.0, -0.60, -0.20, 0.82), (18.0, -0.52, -0.36, 0.84), (21.5, -0.58, -0.32, 0.80), (24.0, -0.62, -0.30, 0.74),
        (27.0, -0.54, -0.30, 0.78), (30.5, -0.52, -0.26, 0.80), (33.0, -0.46, -0.20, 0.78), (38.0, -0.44, -0.18, 0.74),
        (42.0, -0.40, -0.12, 0.72), (46.4, -0.42, -0.16, 0.74)), ((8.2, 47.2),)),
    Visit(Kind.CUTTER, Hand.RIGHT, (
        (13.0, 0.34, -0.16, 0.62), (14.4, 0.16, 0.02, 0.56), (16.2, 0.30, 0.28, 0.50), (17.8, 0.02, -0.20, 0.46),
        (19.4, -0.10, 0.20, 0.42), (21.2, 0.20, 0.10, 0.34), (22.6, -0.16, -0.02, 0.08), (23.6, -0.215, -0.03, 0.035),
        (25.2, -0.12, -0.08, 0.20), (27.0, 0.06, -0.14, 0.34), (29.0, 0.18, -0.12, 0.42), (30.2, 0.30, -0.20, 0.46)),
        ((13.4, 22.0), (25.6, 30.2)), 0.030),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (32.2, 0.34, 0.20, 0.20), (32.9, 0.33, 0.36, 0.12), (34.4, 0.37, 0.38, 0.12), (35.2, 0.32, 0.34, 0.16),
        (36.0, 0.20, 0.42, 0.07), (36.6, 0.44, 0.50, 0.07), (37.2, 0.34, 0.40, 0.12)), (), 0.012),
    Visit(Kind.CUTTER, Hand.RIGHT, _cut_keys(), tuple((a, b) for a, b in CUT_TIMES), 0.009),
    Visit(Kind.FORCEPS, Hand.LEFT, _forceps_keys(LIFTS[:1], (52.6, *on_membrane(0.10, -0.5), 0.05)), ((48.3, 51.95),)),
    Visit(Kind.CUTTER, Hand.RIGHT, _shave_keys(
        LIFTS[:1], (52.8, *on_membrane(0.2, 0.1), 0.02), (53.8, *on_membrane(0.35, -0.9), 0.06)),
        ((48.6, 52.9),), 0.008),
    Visit(Kind.CANNULA, Hand.LEFT, (
        (55.6, 0.18, 0.40, 0.12), (56.4, 0.30, 0.50, 0.05), (57.2, 0.40, 0.60, 0.045), (58.2, 0.27, 0.54, 0.045),
        (59.2, 0.36, 0.55, 0.05), (59.6, 0.24, 0.40, 0.14)), (), 0.014),
    Visit(Kind.DIATHERMY, Hand.RIGHT, (
        (56.6, 0.48, 0.38, 0.14), (57.2, BLEED[0] + 0.01, BLEED[1] - 0.01, 0.012), (58.9, BLEED[0], BLEED[1], 0.010),
        (59.5, 0.46, 0.38, 0.14)), ((57.3, 57.9), (58.2, 58.8))),
    Visit(Kind.FORCEPS, Hand.LEFT, _forceps_keys(LIFTS[1:], (67.7, 0.42, 0.30, 0.20)), _CLOSED[1:]),
    Visit(Kind.CUTTER, Hand.RIGHT, _shave_keys(LIFTS[1:], (67.8, 0.60, 0.30, 0.18)), ((61.4, 67.5),), 0.008),
    Visit(Kind.LIGHT_PIPE, Hand.LEFT, (
        (69.4, -0.60, -0.38, 0.86), (72.0, -0.62, -0.32, 0.82), (77.0, -0.58, -0.28, 0.80), (79.0, -0.36, -0.10, 0.74),
        (83.0, -0.30, -0.06, 0.72), (87.4, -0.38, -0.12, 0.76), (89.0, -0.54, -0.32, 0.82), (96.0, -0.58, -0.36, 0.82)),
        ((68.6, 97.5),)),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (70.2, 0.34, 0.10, 0.34), (72.4, 0.06, 0.04, 0.16), (74.0, 0.40, 0.44, 0.05), (75.0, -0.04, 0.02, 0.06),
        (76.0, LAKE[0] + 0.03, LAKE[1], 0.030), (77.0, LAKE[0] + 0.02, LAKE[1], 0.025)), (), 0.008),
    Visit(Kind.LASER, Hand.RIGHT, _laser_keys(), ()),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (89.6, 0.46, -0.10, 0.50), (92.0, 0.40, -0.16, 0.56), (95.0, 0.46, -0.22, 0.62)), (), 0.012),
)

# fmt: on


def grasping(t: float) -> Target:
    """Where the forceps' tip is, without the hand's tremor. Raises StopIteration while no forceps is in the eye."""
    return next(visit.tip(t) for visit in VISITS if visit.kind is Kind.FORCEPS and visit.is_in(t))
