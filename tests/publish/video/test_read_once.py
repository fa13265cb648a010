"""However much is taken out of a recording, and however often it is asked: it is read through once."""

from collections.abc import Callable
from pathlib import Path

import pytest
from av.container import InputContainer
from av.video.stream import VideoStream
from msgspec.structs import replace

from annotator.media.container.packets import Packets, read_packets
from annotator.media.index import reader
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.progress import Progress
from annotator.publish.job import Order, publish
from annotator.publish.options import Options
from annotator.publish.share.share_folder import write_folder
from annotator.publish.video.clips import starts_of_copies, write_clips
from annotator.publish.video.recording_with_chapters import embed
from annotator.publish.video.stills import write_stills
from annotator.store.fingerprint import fingerprint
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.new_case import new_case
from annotator.workflow.read_chapters import rows_from_container
from annotator.workflow.take_recordings import read_chosen
from tests.measure.cases import tag, vocabulary
from tests.publish.numbered import recording

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-g", "30", "-c:a", "aac")

Wanted = Callable[[Case, Path, Path], object]

WAYS: dict[str, Wanted] = {
    "clips": lambda case, path, out: write_clips(case, path, case.tags, out),
    "copied clips": lambda case, path, out: write_clips(case, path, case.tags, out, "copy"),
    "stills": lambda case, path, out: write_stills(case, path, case.tags, out),
    "starts of copies": lambda case, path, _out: starts_of_copies(case, path, case.tags),
    "chapters inside": lambda case, path, out: embed(case, path, out / "copy.mkv"),
    "a folder to share": lambda case, path, out: write_folder(case, path, out / "shared"),
    "one encoded anew": lambda case, path, out: write_folder(case, path, out / "shared", form="mp4"),
    "chosen again": lambda case, path, _out: read_chosen(path.with_name(case.recordings[0].path)),
    "a new case": lambda case, path, _out: new_case(
        [path.with_name(case.recordings[0].path)], case.vocabulary, "", path
    ),
    "found again": lambda case, path, _out: find_recordings(case, path),
}


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The name of each file that is read through for its frames."""
    names: list[str] = []

    def counted(container: InputContainer, stream: VideoStream, progress: Progress) -> Packets:
        names.append(Path(container.name).name)
        return read_packets(container, stream, progress)

    monkeypatch.setattr(reader, "read_packets", counted)
    return names


@pytest.fixture
def case(tmp_path: Path) -> Case:
    """Twenty tags on a recording of a container that has no table of its frames."""
    film = recording(tmp_path / "eye.mkv", 90, "30", *X264)
    facts = new_case([film], vocabulary(), "Model eye (invented)", tmp_path / "c.jsonld", kept_in=tmp_path / "apart")
    twenty = tuple(replace(tag("core", 100 * at, 100 * at + 100), id=f"urn:t:{at}") for at in range(20))
    return replace(facts, tags=twenty)


@pytest.mark.parametrize("way", WAYS)
def test_once(way: str, case: Case, tmp_path: Path, read: list[str]) -> None:
    out = tmp_path / "out"
    out.mkdir()
    WAYS[way](case, tmp_path / "c.jsonld", out)
    assert read.count("eye.mkv") == 1


def test_once_for_all_that_is_ticked(case: Case, tmp_path: Path, read: list[str]) -> None:
    """And into the folder that was chosen for what is kept."""
    options = Options(shared=True, recording=True, clips=True, clip_form="copy", stills=True, facets=("step",))
    (tmp_path / "out").mkdir()
    order = Order(case, tmp_path / "c.jsonld", options, case.tags, tmp_path / "out", "eye", tmp_path / "chosen")
    assert publish(order).failures == ()
    starts_of_copies(case, tmp_path / "c.jsonld", case.tags, kept_in=tmp_path / "chosen")
    find_recordings(case, tmp_path / "c.jsonld", kept_in=tmp_path / "chosen")
    assert read.count("eye.mkv") == 1
    assert [kept.suffix for kept in (tmp_path / "chosen").iterdir()] == [".frames"]


def test_stills_of_a_container_that_stamps_only_some_pictures(tmp_path: Path, read: list[str]) -> None:
    film = recording(tmp_path / "eye.mpg", 60, "25", "-c:v", "mpeg2video", "-bf", "2", "-f", "vob")
    whole = Recording("urn:r", film.name, fingerprint(film), 2_400)
    case = Case("urn:c", "", vocabulary(), (whole,), (tag("core", 400, 900), tag("shave", 1_200, 1_400)))
    out = tmp_path / "out"
    out.mkdir()
    write_stills(case, tmp_path / "c.jsonld", case.tags, out)
    assert read == ["eye.mpg"]


def test_chapters_inside_are_read_along_with_what_is_kept(case: Case, tmp_path: Path, read: list[str]) -> None:
    out = tmp_path / "copy.mkv"
    embed(case, tmp_path / "c.jsonld", out)
    read.clear()
    rows_from_container(out, case)
    rows_from_container(out, case)
    assert read == ["copy.mkv"]
