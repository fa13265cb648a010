"""Publishing onto a disk that is full: a clear sentence for each thing that found no room, and nothing half-written."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.publish.job import Order, publish
from annotator.publish.options import Options
from tests.publish.numbered import case_of, frames_of, recording
from tests.store.small_disk import fill, small_disk

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-g", "30", "-c:a", "aac")
NOTHING = Options(chapters=False, durations=False)
LARGE = {
    "clips": replace(NOTHING, clips=True),
    "copied": replace(NOTHING, clips=True, clip_form="copy"),
    "stills": replace(NOTHING, stills=True),
    "shared": replace(NOTHING, shared=True),
    "encoded": replace(NOTHING, shared=True, page_form="mp4"),
    "recording": replace(NOTHING, recording=True),
}


@pytest.fixture
def tiny(tmp_path: Path) -> Iterator[Path]:
    """A disk without any room left."""
    with small_disk(tmp_path / "tiny", "8k") as folder:
        fill(folder, 1_000)
        yield folder


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return recording(tmp_path_factory.mktemp("film") / "eye.mp4", 60, "30", *X264)


@pytest.mark.parametrize("name", LARGE)
def test_no_room_is_said_and_leaves_nothing(name: str, film: Path, tiny: Path) -> None:
    case = case_of(film, tags=(frames_of(film, "core", 5, 50),))
    found = publish(Order(case, film.with_name("c.jsonld"), LARGE[name], case.tags, tiny, "talk"))
    assert found.written == ()
    (said,) = found.failures
    assert "the disk is full" in said or "is free there; free some space" in said
    assert ".part" not in said
    assert [path.name for path in tiny.iterdir()] == ["filler"]
