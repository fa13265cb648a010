"""From case time to pixels and back, with zoom about a point; pure arithmetic."""

from typing import NamedTuple

from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms

CLOSEST: Ms = 400
"""The shortest stretch the timeline shows: some ten frames."""

_STEPS: tuple[Ms, ...] = (
    10, 20, 50, 100, 200, 500, SECOND, 2 * SECOND, 5 * SECOND, 10 * SECOND, 15 * SECOND, 30 * SECOND, MINUTE,
    2 * MINUTE, 5 * MINUTE, 10 * MINUTE, 15 * MINUTE, 30 * MINUTE, HOUR, 2 * HOUR,
)  # fmt: skip


class Scale(NamedTuple):
    """`start` and `end` of the visible stretch in ms; `left` and `width` of where it is drawn, in pixels."""

    start: Ms
    end: Ms
    left: float
    width: float

    def x(self, at: Ms) -> float:
        return self.left + (at - self.start) * self.width / (self.end - self.start)

    def at(self, x: float) -> Ms:
        return self.start + round((x - self.left) * (self.end - self.start) / self.width)

    def shows(self, start: Ms, end: Ms) -> bool:
        return start <= self.end and end >= self.start

    def zoomed(self, factor: float, about: Ms, whole: Ms) -> "Scale":
        """Shorter (`factor` below 1) or longer, the time `about` staying under the same pixel."""
        length = min(max(round((self.end - self.start) * factor), min(CLOSEST, whole)), whole)
        share = (about - self.start) / (self.end - self.start)
        return self._replace(start=0, end=length).moved(round(about - share * length), whole)

    def moved(self, start: Ms, whole: Ms) -> "Scale":
        """The same length from another start, kept within the case."""
        length = self.end - self.start
        start = min(max(start, 0), whole - length)
        return self._replace(start=start, end=start + length)


def tick_step(scale: Scale, apart: float = 90) -> Ms:
    """A round distance between the ruler's figures so that they stand at least `apart` pixels from each other."""
    least = apart * (scale.end - scale.start) / scale.width
    return next((step for step in _STEPS if step >= least), _STEPS[-1])


def tick_text(at: Ms, step: Ms) -> str:
    """A time on the ruler, no finer than its ticks: `05:00`, `1:05:00`, `12.40`."""
    hours, rest = divmod(at, HOUR)
    minutes, rest = divmod(rest, MINUTE)
    seconds, thousandths = divmod(rest, SECOND)
    text = f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes:02d}:{seconds:02d}"
    return text if step >= SECOND else f"{text}.{thousandths // 10:02d}"
