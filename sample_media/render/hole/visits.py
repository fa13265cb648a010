"""Which instruments come into the eye with the hole, through which port, when, and where their tips go."""

from ..instruments import Kind
from ..motion import Key
from ..visits import Hand, Visit
from .plan import FLAP, HOLE, LAKE, LET_GO, TAKEN, Taken

_STOPS = 6
"""How many points of a fold's way the forceps follow."""


def _peeling(piece: Taken) -> list[Key]:
    """Down to the edge, along with the fold, and off with the piece."""
    (u, v), step = piece.edge(piece.grasp), (piece.free - piece.grasp) / _STOPS
    keys: list[Key] = [(piece.grasp - 0.35, u, v - 0.01, 0.04), (piece.grasp, u, v, 0.006)]
    keys += [(t, *piece.tip(t), 0.03) for t in (piece.grasp + step * n for n in range(1, _STOPS + 1))]
    return [*keys, (piece.gone, *piece.tip(piece.gone), 0.12)]


def _turning() -> list[Key]:
    """The flap is peeled up to the hole, turned over it, pressed down and let go."""
    u, v = FLAP.edge(FLAP.grasp)
    times = [FLAP.grasp + (LET_GO - FLAP.grasp) * n / 14 for n in range(1, 15)]
    keys: list[Key] = [(FLAP.grasp - 0.4, u + 0.01, v - 0.01, 0.04), (FLAP.grasp, u, v, 0.006)]
    keys += [(t, *FLAP.edge(t), 0.03 if t < FLAP.turned[1] - 0.4 else 0.010) for t in times]
    return [*keys, (LET_GO + 0.5, HOLE[0] + 0.10, HOLE[1] - 0.10, 0.12)]


def _forceps() -> Visit:
    keys = [key for piece in TAKEN for key in _peeling(piece)] + _turning()
    closed = [(piece.grasp, piece.gone) for piece in TAKEN]
    return Visit(Kind.FORCEPS, Hand.RIGHT, tuple(keys), (*closed, (FLAP.grasp, LET_GO)))


# fmt: off
VISITS = (
    Visit(Kind.LIGHT_PIPE, Hand.LEFT, (
        (7.4, -0.60, -0.38, 0.90), (8.0, -0.22, -0.06, 0.86), (9.0, -0.12, 0.02, 0.84), (10.0, -0.56, -0.32, 0.86),
        (13.0, -0.60, -0.20, 0.82), (16.0, -0.52, -0.36, 0.84), (18.0, -0.62, -0.30, 0.74), (22.0, -0.54, -0.30, 0.78),
        (23.4, -0.50, -0.28, 0.74), (24.4, -0.21, -0.16, 0.62), (30.0, -0.19, -0.13, 0.58), (38.0, -0.21, -0.15, 0.60),
        (44.0, -0.19, -0.12, 0.58), (50.2, -0.20, -0.14, 0.60), (51.4, -0.56, -0.32, 0.80), (57.0, -0.58, -0.28, 0.80),
        (60.0, -0.54, -0.32, 0.82), (63.2, -0.58, -0.36, 0.82)), ((6.4, 64.2),)),
    Visit(Kind.CUTTER, Hand.RIGHT, (
        (9.8, 0.34, -0.16, 0.62), (11.0, 0.16, 0.02, 0.56), (12.6, 0.30, 0.28, 0.50), (13.8, 0.02, -0.20, 0.46),
        (15.0, -0.10, 0.20, 0.42), (16.0, 0.20, 0.10, 0.34), (16.8, -0.16, -0.02, 0.08), (17.8, -0.215, -0.03, 0.035),
        (19.2, -0.12, -0.08, 0.20), (20.6, 0.06, -0.14, 0.34), (22.0, 0.18, -0.12, 0.42), (22.6, 0.30, -0.20, 0.46)),
        ((9.9, 16.4), (19.6, 22.6)), 0.030),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (25.0, 0.23, -0.03, 0.12), (25.4, 0.18, 0.005, 0.07), (26.8, 0.19, 0.00, 0.07), (27.6, 0.20, 0.02, 0.10),
        (28.2, 0.08, 0.06, 0.06), (28.8, 0.22, 0.09, 0.06), (29.3, 0.18, 0.03, 0.10)), (), 0.006),
    _forceps(),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (52.3, 0.34, 0.10, 0.34), (54.0, 0.10, -0.14, 0.16), (55.4, -0.10, -0.06, 0.06),
        (56.6, LAKE[0] + 0.03, LAKE[1], 0.030), (57.8, LAKE[0] + 0.02, LAKE[1], 0.025)), (), 0.008),
    Visit(Kind.CANNULA, Hand.RIGHT, (
        (59.6, 0.46, -0.10, 0.50), (61.2, 0.40, -0.16, 0.56), (62.8, 0.46, -0.22, 0.62)), (), 0.012),
)
# fmt: on
