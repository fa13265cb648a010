"""What the sample's tests share: the committed files, and tiny renderings of the same operation."""

import csv
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import av
import pytest

from sample_media.render.clock import Reel
from sample_media.render.encode import Quality
from sample_media.render.job import Order, make
from sample_media.render.operations import OPERATIONS

BUNDLED = Path(__file__).resolve().parents[2] / "sample_media"
BOTH = pytest.mark.parametrize("operation", OPERATIONS.values(), ids=OPERATIONS)
"""Every invented operation whose recording is bundled."""


def silent(_done: int, _total: int) -> None:
    """Progress that nobody watches."""


def frame_times(path: Path) -> list[Fraction]:
    """Exact presentation times in seconds from the container's start, read by PyAV without decoding."""
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        base = stream.time_base
        assert base is not None
        stamps = sorted(packet.pts for packet in container.demux(stream) if packet.pts is not None)
        return [stamp * base - Fraction(container.start_time or 0, 1_000_000) for stamp in stamps]


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@dataclass(frozen=True)
class Made:
    order: Order
    reel: Reel

    @property
    def folder(self) -> Path:
        return self.order.out.parent


TINY = Order(
    Path("eye.mp4"),
    seconds=2.0,
    size=(160, 90),
    rate=Fraction(30_000, 1001),
    number_frames=True,
    quality=Quality(30, 12),
)


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The whole operation in sixty numbered frames."""
    order = replace(TINY, out=tmp_path_factory.mktemp("tiny") / "eye.mp4")
    return Made(order, make(order, silent))
