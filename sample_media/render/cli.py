"""The command line of the renderer."""

import argparse
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from annotator.media.pictures.opencv import cv2

from .containers import CONTAINERS, Refused
from .encode import Quality
from .job import USUAL, Order, make, still
from .operations import MODEL_EYE, OPERATIONS

_EXAMPLES = """examples:
  python -m sample_media.render                                   the bundled recording, again
  python -m sample_media.render --operation macular-hole --crf 30 the second one
  python -m sample_media.render --out made/eye.mkv --seconds 8 --size 320x180 --variable-rate
  python -m sample_media.render --out made/eye.mp4 --split 3 --number-frames
  python -m sample_media.render --out made/hour.mp4 --size 1920x1080 --rate 60 --seconds 6 --repeat 600
  python -m sample_media.render --out made/eye.png --at 45 --size 1920x1080
"""


def main(arguments: list[str] | None = None) -> int:
    """Render what the arguments ask for; exit status 0, 2 for a wish that cannot be met, 130 when stopped."""
    wishes = _parser().parse_args(arguments)
    try:
        order = _order(wishes)
        order.out.parent.mkdir(parents=True, exist_ok=True)
        if wishes.at is None:
            make(order, _Progress())
        else:
            _save_still(order, wishes.at)
    except (Refused, OSError) as error:
        sys.stderr.write(f"render: {error}\n")
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("\nrender: stopped, nothing was written\n")
        return 130
    return 0


def _save_still(order: Order, at: float) -> None:
    if order.out.suffix.lower() != ".png":
        raise Refused(f"{order.out.name}: a single picture is written as PNG; end the name of --out in .png")
    _, data = cv2.imencode(".png", cv2.cvtColor(still(order, at), cv2.COLOR_RGB2BGR))
    order.out.write_bytes(data.tobytes())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m sample_media.render",
        description="Draw the invented operation on a model eye, with its true step times and narration.",
        epilog=_EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    _add_picture(parser.add_argument_group("picture and sound").add_argument)
    _add_files(parser.add_argument_group("files").add_argument)
    return parser


def _add_picture(add: Callable[..., object]) -> None:
    add(
        "--operation",
        choices=OPERATIONS,
        default=MODEL_EYE.out.stem,
        help="which of the invented operations (default %(default)s)",
    )
    add("--seconds", type=float, help="length; the script is stretched to it (default: as long as the script)")
    add("--size", type=_size, default=(1280, 720), metavar="WxH", help="default 1280x720")
    add("--rate", type=_rate, default=Fraction(30_000, 1001), help="frames a second, as 25 or 30000/1001 (the default)")
    add("--variable-rate", action="store_true", help="frames of uneven length, about --rate")
    add("--number-frames", action="store_true", help="draw each frame's number as a bar code along the bottom edge")
    add("--no-sound", action="store_true", help="pictures only")
    add("--at", type=float, metavar="SECONDS", help="a single picture of this time of the script; --out names a .png")


def _add_files(add: Callable[..., object]) -> None:
    kinds = ", ".join(CONTAINERS)
    add(
        "--out",
        type=Path,
        metavar="FILE",
        help=f"the recording, of the kind its ending says ({kinds}), by default the bundled one; "
        "steps.csv and narration.vtt go beside it",
    )
    add("--split", type=int, default=1, metavar="N", help="N files in order, their borders inside a step")
    add(
        "--repeat",
        type=int,
        default=1,
        metavar="N",
        help="show the scene N times by stream copy, for a long recording in little time; no steps.csv then",
    )
    add(
        "--gop",
        type=int,
        default=USUAL.gop,
        metavar="N",
        help="frames between key frames at most (default %(default)s)",
    )
    add(
        "--crf",
        type=int,
        default=USUAL.crf,
        metavar="N",
        help="quality of H.264 and VP9, lower is better (default %(default)s)",
    )


def _order(wishes: argparse.Namespace) -> Order:
    operation = OPERATIONS[wishes.operation]
    seconds = operation.script.length if wishes.seconds is None else wishes.seconds
    if seconds <= 0 or wishes.rate <= 0 or wishes.split < 1 or wishes.repeat < 1:
        raise Refused("seconds and rate must be more than nothing, split and repeat at least 1")
    return Order(
        out=wishes.out or operation.out,
        operation=operation,
        seconds=seconds,
        size=wishes.size,
        rate=wishes.rate,
        variable=wishes.variable_rate,
        split=wishes.split,
        sound=not wishes.no_sound,
        number_frames=wishes.number_frames,
        repeats=wishes.repeat,
        quality=Quality(wishes.crf, wishes.gop),
    )


def _rate(text: str) -> Fraction:
    """`25`, `29.97` or `30000/1001`."""
    try:
        return Fraction(text)
    except (ValueError, ZeroDivisionError):
        raise argparse.ArgumentTypeError(
            f"{text} is no rate; write frames a second, such as 25 or 30000/1001"
        ) from None


def _size(text: str) -> tuple[int, int]:
    """`1280x720`; both even, as 4:2:0 colour wants."""
    width, _, height = text.lower().partition("x")
    if (
        not (width.isdecimal() and height.isdecimal())
        or int(width) < 64
        or int(height) < 64
        or int(width) % 2
        or int(height) % 2
    ):
        raise argparse.ArgumentTypeError(f"{text} is no size; write even numbers of at least 64, such as 1280x720")
    return int(width), int(height)


class _Progress:
    """A line on stderr, four times a second on a terminal, else at every tenth."""

    def __init__(self) -> None:
        self._started = time.monotonic()
        self._said = 0.0

    def __call__(self, done: int, total: int) -> None:
        now = time.monotonic()
        terminal = sys.stderr.isatty()
        due = now - self._said > 0.25 if terminal else done * 10 // total > (done - 1) * 10 // total
        if not due and done < total:
            return
        self._said = now
        left = (now - self._started) / done * (total - done)
        end = "\r" if terminal and done < total else "\n"
        sys.stderr.write(f"frame {done} of {total}, {left:.0f} s left{end}")
        sys.stderr.flush()
