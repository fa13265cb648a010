"""Recordings whose frames carry their number as the sample's bar code, and cases tagged on them by frame."""

import subprocess
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
from msgspec.structs import replace

from annotator.media.index.reader import read_index
from annotator.media.pictures.opencv import cv2
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.store.fingerprint import fingerprint
from sample_media.render.barcode import draw, read_frame_number
from tests.measure.cases import tag, vocabulary

WIDTH, HEIGHT = 320, 180


def recording(path: Path, frames: int, rate: str, *args: str, first: int = 0, sound: bool = True) -> Path:
    """Frames numbered from `first`, with a tone, and with tags in the container that name somebody."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray"]
    command += ["-s", f"{WIDTH}x{HEIGHT}", "-r", rate, "-i", "pipe:"]
    if sound:
        command += ["-f", "lavfi", "-i", "sine=frequency=330", "-shortest"]
    named = ["-metadata", "title=Nomen Nescio", "-metadata", "comment=Nomen Nescio", "-metadata:s:v", "title=Nescio"]
    subprocess.run([*command, *named, *args, str(path)], input=b"".join(_drawn(first, frames)), check=True)
    return path


def _drawn(first: int, frames: int) -> list[bytes]:
    pictures = []
    for number in range(first, first + frames):
        picture = np.full((HEIGHT, WIDTH), 90, dtype=np.uint8)
        draw(picture, number)
        pictures.append(picture.tobytes())
    return pictures


def numbers_in(path: Path) -> list[int]:
    """The number on every frame, decoded by the library alone."""
    with av.open(str(path)) as container:
        return [
            read_frame_number(frame.to_ndarray(format="rgb24").astype(np.uint8)) for frame in container.decode(video=0)
        ]


def number_on(png: Path) -> int:
    """The number on a still."""
    picture = cv2.imread(str(png))
    assert picture is not None
    return read_frame_number(picture.astype(np.uint8))


def case_of(*paths: Path, tags: tuple[Tag, ...] = ()) -> Case:
    """A case on the recordings, tagged as given."""
    recordings = tuple(
        Recording(f"urn:r:{path.name}", path.name, fingerprint(path), read_index(path).end) for path in paths
    )
    return Case("urn:c", "Model eye (invented)", vocabulary(), recordings, in_order(tags))


def frames_of(path: Path, notation: str, first: int, stop: int, offset: int = 0) -> Tag:
    """A tag from one frame up to another; `offset` is where the recording begins in the case."""
    times = [*map(int, read_index(path).times), read_index(path).end]
    return replace(tag(notation, times[first] + offset, times[stop] + offset), note="Nomen Nescio")
