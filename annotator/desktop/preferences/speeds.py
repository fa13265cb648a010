"""The playing speeds: as text that a person types, and which of them is next."""

from collections.abc import Sequence
from typing import Final

SPEEDS: Final[tuple[float, ...]] = (0.5, 1.0, 1.5, 2.0, 4.0)
SLOWEST, FASTEST, MOST = 0.25, 8.0, 6
"""Beyond these no player keeps picture and sound together; more steps would not fit beside the transport."""


def read_speeds(text: str) -> tuple[float, ...]:
    """Steps from text such as “0.5 1 2.5”, in rising order, each once, 1 always among them.

    Raises ValueError with a sentence that can be shown.
    """
    steps = {1.0}
    for word in text.replace(";", " ").replace("×", " ").split():
        try:
            speed = round(float(word.rstrip(",").replace(",", ".")), 2)
        except ValueError:
            raise ValueError(f"“{word}” is not a number; separate speeds with spaces, such as 0.5 1 2") from None
        if not SLOWEST <= speed <= FASTEST:
            raise ValueError(f"{word} is not a speed from {SLOWEST:g} to {FASTEST:g}")
        steps.add(speed)
    if len(steps) > MOST:
        raise ValueError(f"These are {len(steps)} speeds including 1; {MOST} at most")
    return tuple(sorted(steps))


def write_speeds(speeds: Sequence[float]) -> str:
    return "  ".join(f"{speed:g}" for speed in speeds)


def slower(speeds: Sequence[float], than: float) -> float:
    """The next step down; the lowest where there is none."""
    return max((speed for speed in speeds if speed < than), default=speeds[0])


def faster(speeds: Sequence[float], than: float) -> float:
    """The next step up; the highest where there is none."""
    return min((speed for speed in speeds if speed > than), default=speeds[-1])
