"""One order for a recording, from its wishes to the files."""

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

from . import barcode, repeat, sound, truth
from .clock import Clock, Reel
from .containers import Refused, container_of
from .encode import Quality, encode
from .finish import Frame
from .operations import MODEL_EYE, Operation
from .pending import Pending
from .picture import Painter
from .script import Script

USUAL = Quality(crf=28, gop=150)
"""A key frame every five seconds: seeking stays quick and the bundled file small."""

Progress = Callable[[int, int], None]
"""Called with the frames done and the frames in all."""


@dataclass(frozen=True)
class Order:
    """What to make. `out` names the recording; steps.csv and narration.vtt are written beside it.

    seconds  how long, the script stretched to it; as long as the script where it is None
    split    in how many files in order, their names ending in -1, -2 ...
    repeats  how many times the rendered scene is shown, by stream copy
    """

    out: Path
    operation: Operation = MODEL_EYE
    seconds: float | None = None
    size: tuple[int, int] = (1280, 720)
    rate: Fraction = Fraction(30_000, 1001)
    variable: bool = False
    split: int = 1
    sound: bool = True
    number_frames: bool = False
    repeats: int = 1
    quality: Quality = USUAL

    @property
    def length(self) -> float:
        """Of the whole scene, in seconds."""
        return self.operation.script.length if self.seconds is None else self.seconds

    @property
    def files(self) -> list[Path]:
        if self.split == 1:
            return [self.out]
        return [self.out.with_stem(f"{self.out.stem}-{number}") for number in range(1, self.split + 1)]


def make(order: Order, progress: Progress) -> Reel:
    """Render the order; all its files appear at the end, or none. Raises Refused."""
    reel = plan_reel(order)
    with Pending() as pending:
        if order.repeats > 1:
            _make_repeated(order, reel, pending, progress)
        else:
            _make_files(order, reel, pending, progress)
            folder = order.out.parent
            script = order.operation.script
            beside = {"steps.csv": truth.steps(script, reel), "narration.vtt": truth.narration(script, reel)}
            for name, text in beside.items():
                pending.path(folder / name).write_text(text, encoding="utf-8", newline="")
        pending.commit()
    return reel


def still(order: Order, at: float) -> Frame:
    """The picture at `at` seconds of the script."""
    return Painter(order.operation.stage, *order.size).frame(at, round(at * 30))


def plan_reel(order: Order) -> Reel:
    """How many frames go into which file. Raises Refused."""
    kind, script = container_of(order.out), order.operation.script
    count = max(round(order.length * order.rate), 1)
    if order.repeats > 1:
        if order.split > 1 or order.variable:
            raise Refused("a repeated scene is one file of one frame rate; leave out the split and the variable rate")
        count = max(count // 3 * 3, 3)
    lead = kind.lead if order.sound else Fraction(0)

    def clock(frames: int) -> Clock:
        return Clock(order.rate, frames, order.variable, kind.tick, lead)

    whole = Reel([clock(count)])
    borders = [0, *(whole.nearest(t * truth.stretch(script, whole)) for t in _borders(script, order.split)), count]
    if any(b <= a for a, b in pairwise(borders)):
        raise Refused(f"{count} frames are too few for {order.split} files")
    return Reel([clock(b - a) for a, b in pairwise(borders)])


def _borders(script: Script, files: int) -> list[float]:
    """Script times at which a new file begins: about even, and always well inside a step."""
    found: list[float] = []
    for number in range(1, files):
        ideal = script.length * number / files
        inside = [
            min(max(ideal, step.start + (step.end - step.start) / 3), step.end - (step.end - step.start) / 3)
            for step in script.steps
        ]
        found.append(min(inside, key=lambda t: abs(t - ideal)))
    return found


def _make_files(order: Order, reel: Reel, pending: Pending, progress: Progress) -> None:
    painter = Painter(order.operation.stage, *order.size)
    stretch = truth.stretch(order.operation.script, reel)
    for path, clock, first in zip(order.files, reel.clocks, reel.firsts, strict=False):
        start, end = float(reel.exact(first)), float(reel.exact(first + clock.count))
        frames = _frames(order, painter, reel, range(first, first + clock.count), progress)
        with tempfile.TemporaryDirectory() as folder:
            wave = Path(folder) / "sound.wav" if order.sound else None
            if wave is not None:
                sound.write(wave, order.operation.stage, start, end - start, stretch)
            encode(pending.path(path), frames, order.size, clock, wave, order.quality)


def _make_repeated(order: Order, reel: Reel, pending: Pending, progress: Progress) -> None:
    with tempfile.TemporaryDirectory() as folder:
        scene = Path(folder) / f"scene{order.out.suffix}"
        frames = _frames(order, Painter(order.operation.stage, *order.size), reel, range(reel.count), progress)
        encode(scene, frames, order.size, reel.clocks[0], None, order.quality)
        wave = Path(folder) / "sound.wav"
        if order.sound:
            stretch = truth.stretch(order.operation.script, reel)
            sound.write(wave, order.operation.stage, 0.0, float(reel.exact(reel.count)), stretch)
        repeat.repeat(
            scene, wave if order.sound else None, order.repeats, reel.exact(reel.count), pending.path(order.out)
        )


def _frames(order: Order, painter: Painter, reel: Reel, numbers: range, progress: Progress) -> Iterator[Frame]:
    stretch = truth.stretch(order.operation.script, reel)
    for number in numbers:
        frame = painter.frame(float(reel.exact(number)) / stretch, number)
        if order.number_frames:
            barcode.draw(frame, number)
        yield frame
        progress(number + 1, reel.count)
