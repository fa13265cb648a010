"""The shared folder: plays from disk in a browser's engine, asks nothing of the network, and names nobody."""

import importlib.util
import json
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import av
import pytest
from msgspec.structs import replace

from annotator.errors import Cancelled, MediaError, StoreError
from annotator.measure.chapters import plan
from annotator.media.index.reader import read_index
from annotator.media.probe import probe
from annotator.model.case import Case
from annotator.publish.options import PageForm
from annotator.publish.share.share_folder import _aside, write_folder
from annotator.publish.share.share_page import Files, dumps
from tests.measure.cases import tag
from tests.publish.numbered import case_of, frames_of, numbers_in, recording
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, HARMFUL, harmful, saying_when
from tests.running import PATIENCE

HERE = Path(__file__).parent
SAMPLE = HERE.parents[2] / "sample_media" / "short-variable-rate.webm"
X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "30")
BESIDE = {"index.html", "chapters.vtt", "durations.xlsx", "poster.jpg", "read-me.txt"}
TITLES = ["Port placement", "Core vitrectomy", "Base shaving"]


@pytest.fixture
def film(tmp_path: Path) -> Path:
    return recording(tmp_path / "nomen-nescio.mp4", 60, "30000/1001", *X264)


@pytest.fixture
def case(film: Path) -> Case:
    return case_of(film, tags=(frames_of(film, "core", 5, 20), frames_of(film, "shave", 20, 50)))


def test_a_browser_plays_it_from_disk_and_goes_to_each_chapter(tmp_path: Path) -> None:
    if importlib.util.find_spec("PySide6.QtWebEngineCore") is None:
        pytest.skip("the package PySide6-WebEngine is not installed")
    source = tmp_path / SAMPLE.name
    source.write_bytes(SAMPLE.read_bytes())
    steps = zip(("ports", "core", "shave"), (0, 91, 333), (91, 333, 500), strict=True)
    case = case_of(source, tags=tuple(frames_of(source, step, first, stop) for step, first, stop in steps))
    out = tmp_path / "shared folder #1"
    assert write_folder(case, tmp_path / "c.jsonld", out) == ()
    command = [sys.executable, str(HERE / "view_share.py"), str(out / "index.html")]
    ran = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", timeout=PATIENCE, check=False)
    if "ImportError" in ran.stderr and "shared object" in ran.stderr:
        pytest.skip(f"a system library of the browser engine is missing: {ran.stderr.strip().splitlines()[-1]}")
    assert ran.returncode == 0, ran.stderr[-2000:]
    told = json.loads(ran.stdout)
    assert [one["title"] for one in told["found"]] == TITLES
    times = read_index(out / "recording.webm").times
    for one, frame in zip(told["found"], (0, 91, 333), strict=True):
        assert times[frame] <= one["at"] < times[frame + 1]
        assert len(one["current"]) == 1
        assert one["title"] in one["current"][0]
    assert told["now"].endswith("Base shaving")
    assert told["console"] == []
    assert sorted({address.rsplit("/", 1)[1] for address in told["asked"]}) == [
        "index.html",
        "poster.jpg",
        "recording.webm",
    ]
    assert all(address.startswith("file:") for address in told["asked"])


def test_the_page_says_when_a_step_begins_and_ends(case: Case) -> None:
    text = dumps(saying_when(case), [], Files("recording.mp4", "poster.jpg", ()))
    assert CORE_BEGINS in text
    assert CORE_ENDS in text


def test_the_folder_holds_a_copy_that_names_nobody(case: Case, film: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    (said,) = write_folder(case, tmp_path / "c.jsonld", out)
    assert said.startswith("left out of the copy of “nomen-nescio.mp4”: comment, ")
    assert {path.name for path in out.iterdir()} == {*BESIDE, "recording.mp4"}
    assert numbers_in(out / "recording.mp4") == list(range(60))
    assert [one.title for one in probe(out / "recording.mp4").chapters] == ["Core vitrectomy", "Base shaving"]
    assert b"Nescio" in film.read_bytes()
    for path in out.iterdir():
        assert b"nescio" not in path.read_bytes().lower(), path.name
    assert set(tmp_path.iterdir()) == {film, out}


@pytest.mark.parametrize(("form", "codecs"), [("webm", ["vp9", "opus"]), ("mp4", ["h264", "aac"])])
def test_encoded_anew_frames_stand_where_they_stood(
    form: PageForm, codecs: list[str], case: Case, film: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    (said,) = write_folder(case, tmp_path / "c.jsonld", out, form=form)
    assert said.startswith("left out of the copy of “nomen-nescio.mp4”: comment, ")
    written = out / f"recording.{form}"
    assert numbers_in(written) == list(range(60))
    assert abs(read_index(written).times - read_index(film).times).max() <= 1
    assert [one.title for one in probe(written).chapters] == ["Core vitrectomy", "Base shaving"]
    with av.open(str(written)) as container:
        tracks = [stream for stream in container.streams if stream.type in ("video", "audio")]
        assert [stream.codec_context.codec.canonical_name for stream in tracks] == codecs


def test_what_browsers_do_not_play_is_refused_with_a_way_out(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.avi", 30, "25", "-c:v", "mpeg4", "-c:a", "pcm_s16le")
    case = case_of(film, tags=(tag("core", 0, 500),))
    with pytest.raises(MediaError, match="re-encode it"):
        write_folder(case, tmp_path / "c.jsonld", tmp_path / "out")
    assert list(tmp_path.iterdir()) == [film]


def test_its_own_folder_is_replaced_and_no_other(case: Case, tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(case, tmp_path / "c.jsonld", out)
    write_folder(replace(case, title="Anew"), tmp_path / "c.jsonld", out)
    assert "Anew" in (out / "index.html").read_text(encoding="utf-8")
    (out / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(StoreError, match="other files"):
        write_folder(case, tmp_path / "c.jsonld", out)
    (out / "mine.txt").unlink()
    (out / "index.html").write_text("<p>a page of somebody's</p>", encoding="utf-8")
    with pytest.raises(StoreError, match="other files"):
        write_folder(case, tmp_path / "c.jsonld", out)
    with pytest.raises(StoreError, match="no folder"):
        write_folder(case, tmp_path / "c.jsonld", tmp_path / "nowhere" / "out")


def test_what_else_stands_where_an_earlier_folder_waits_is_left_alone(case: Case, tmp_path: Path) -> None:
    out = tmp_path / "talk"
    waiting = _aside(out)
    waiting.mkdir()
    (waiting / "notes.txt").write_text("mine")
    write_folder(case, tmp_path / "case.jsonld", out)
    assert [path.read_text() for path in waiting.iterdir()] == ["mine"]
    with pytest.raises(StoreError):
        write_folder(case, tmp_path / "case.jsonld", out)
    assert [path.read_text() for path in waiting.iterdir()] == ["mine"]
    assert (out / "index.html").is_file()


def test_stopping_leaves_nothing(case: Case, film: Path, tmp_path: Path) -> None:
    def stop(done: float, _total: float) -> None:
        if done > 0:
            raise Cancelled("stopped")

    forms: tuple[PageForm, ...] = ("copy", "mp4", "webm")
    for form in forms:
        with pytest.raises(Cancelled):
            write_folder(case, tmp_path / "c.jsonld", tmp_path / "out", form=form, progress=stop)
        assert list(tmp_path.iterdir()) == [film]


class Elements(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, name: str, attributes: list[tuple[str, str | None]]) -> None:
        self.found.append((name, dict(attributes)))


def test_no_label_becomes_markup() -> None:
    case = harmful()
    chapters = plan(case).chapters
    page = dumps(case, chapters, Files("recording.webm", "poster.jpg", ()), HARMFUL)
    elements = Elements(page).found
    assert [name for name, _ in elements if name in ("script", "img", "iframe")] == ["script"]
    assert not [key for _, attributes in elements for key in attributes if key.startswith("on") or key == "style"]
    assert len([name for name, some in elements if name == "button" and "data-start" in some]) == len(HARMFUL)


def test_it_says_what_it_is_and_what_was_not_checked(case: Case) -> None:
    page = dumps(case, (), Files("recording.webm", "poster.jpg", ()))
    for words in ("Not a clinical record", "Consent", "Not checked for patient identifiers", "not in this copy"):
        assert words in page
    assert "default-src 'none'" in page
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", page)
