"""The shared folder in the system's own Chromium, opened from disk: plays, is steered, and asks nothing of anybody.

What is seen is read from the pixels of the page: each frame of the recordings carries its number as a bar code.
"""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from websockets.sync.client import ClientConnection

from annotator.desktop.theme.tokens import DARK, LIGHT, Colours, contrast
from annotator.measure.chapters import plan
from annotator.measure.durations import summarise
from annotator.media.index.reader import read_index
from annotator.media.pictures.opencv import cv2
from annotator.model.case import Case, Eye
from annotator.model.place import parse_place
from annotator.plain_text import one_line
from annotator.publish.report import summary_html
from annotator.publish.share import share_page
from annotator.publish.share.share_folder import write_folder
from sample_media.render.barcode import read_frame_number
from tests.browser.chromium import Page, chromium, found
from tests.publish.numbered import case_of, frames_of, recording
from tests.publish.report_case import HARMFUL, MODEL_EYE, PLACED, harmful

PROGRAM = found()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="Chromium is not installed")

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "30", "-c:a", "aac")
FIRST = {"Port placement": 4, "Core vitrectomy": 20, "Base shaving": 61}
"""The first frame of each chapter."""

LOADED = (
    "new Promise(done => { const v = document.querySelector('video');"
    "v.readyState > 1 ? done() : v.addEventListener('loadeddata', () => done()) })"
)
CURRENT = "[...document.querySelectorAll('#chapters [aria-current] bdi')].map(one => one.textContent)"
CLOCK = "document.getElementById('clock').textContent"
AT = "document.getElementById('recording').currentTime * 1000"


@pytest.fixture(scope="module")
def browser() -> Iterator[ClientConnection]:
    assert PROGRAM is not None
    with chromium(PROGRAM) as connection:
        yield connection


@pytest.fixture
def page(browser: ClientConnection) -> Iterator[Page]:
    made = Page(browser)
    made.resize(1280, 900)
    made.emulate()
    yield made
    made.close()


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> tuple[Case, Path]:
    """A case of three steps, one of them with a place, and the recording it is on."""
    film = recording(tmp_path_factory.mktemp("film") / "eye.mp4", 90, "30000/1001", *X264)
    core = replace(frames_of(film, "core", 20, 40), place=parse_place("4-6 mid-periphery"))
    tags = (frames_of(film, "ports", 4, 20), core, frames_of(film, "shave", 61, 80))
    return replace(case_of(film, tags=tags), eye=Eye.LEFT), film


Folder = Callable[[str], Path]


@pytest.fixture(scope="module")
def folder(case: tuple[Case, Path], tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """The shared folder, with the recording as it is (mp4) or encoded anew (webm); written once each."""
    written: dict[str, Path] = {}

    def write(form: str) -> Path:
        if form not in written:
            made, film = case
            out = tmp_path_factory.mktemp("talks") / "a talk, 50 % #1"
            write_folder(made, film.with_name("c.jsonld"), out, form="webm" if form == "webm" else "copy")
            written[form] = out
        return written[form]

    return write


def wait_for(event: str, after: str) -> str:
    """An expression that does something to the recording, and ends once the event has followed."""
    return (
        "new Promise(done => { const v = document.querySelector('video');"
        f"v.addEventListener({json.dumps(event)}, () => done(), {{once: true}}); {after} }})"
    )


@contextmanager
def landing(page: Page) -> Iterator[None]:
    """Do something that seeks, and wait until the picture is there."""
    page.run(
        "void (window.landed = new Promise(done =>"
        "document.querySelector('video').addEventListener('seeked', () => done())))"
    )
    yield
    page.run("window.landed")


def frame_seen(page: Page) -> int:
    """The number on the frame in the player, from the pixels on the screen."""
    page.run(
        "new Promise(done => { document.querySelector('video').controls = false;"
        "requestAnimationFrame(() => requestAnimationFrame(() => done())) })"
    )
    picture = cv2.imdecode(np.frombuffer(page.picture("#recording"), np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    page.run("document.querySelector('video').controls = true")
    return read_frame_number(picture.astype(np.uint8))


def middle(page: Page, selector: str) -> tuple[float, float]:
    page.run(f"document.querySelector({json.dumps(selector)}).scrollIntoView({{block: 'center'}})")
    box = page.run(f"document.querySelector({json.dumps(selector)}).getBoundingClientRect().toJSON()")
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


@pytest.mark.parametrize("form", ["mp4", "webm"])
def test_a_click_on_a_chapter_shows_its_first_frame(
    form: str, case: tuple[Case, Path], folder: Folder, page: Page
) -> None:
    out = folder(form)
    tagged = read_index(case[1]).times
    times = read_index(out / f"recording.{form}").times
    page.open(out / "index.html")
    page.run(LOADED)
    for number, (title, frame) in enumerate(FIRST.items(), start=1):
        with landing(page):
            page.click(*middle(page, f"#chapters li:nth-child({number}) button"))
        assert times[frame] <= page.run(AT) < times[frame + 1]
        assert page.run(CURRENT) == [title]
        assert page.run("document.getElementById('now').textContent") == title
        at = int(tagged[frame])
        assert page.run(CLOCK) == f"0:00:{at // 1000:02d}.{at % 1000:03d}"
        assert frame_seen(page) == frame
    assert page.console == []
    asked = {address for address in page.asked if not address.startswith("data:image/")}  # its own buttons
    assert asked == {(out / name).as_uri() for name in ("index.html", "poster.jpg", f"recording.{form}")}


@pytest.mark.parametrize("form", ["mp4", "webm"])
def test_it_plays_and_stops_after_a_chapter_where_that_is_ticked(form: str, folder: Folder, page: Page) -> None:
    out = folder(form)
    times = read_index(out / f"recording.{form}").times
    page.open(out / "index.html")
    page.run(LOADED)
    page.click(*middle(page, "#stop"))
    page.run(wait_for("seeked", "document.querySelector('#chapters button').click()"))
    page.run(wait_for("pause", "v.play()"))
    assert page.run(AT) >= times[20]
    page.run("document.getElementById('stop').click()")
    page.run(wait_for("ended", "v.play()"))
    assert page.run(CURRENT) == []
    assert page.console == []


def test_before_and_after_and_the_timeline_go_where_they_say(folder: Folder, page: Page) -> None:
    out = folder("mp4")
    times = read_index(out / "recording.mp4").times
    page.open(out / "index.html")
    page.run(LOADED)
    page.run(wait_for("seeked", "document.getElementById('after').click()"))
    page.run(wait_for("seeked", "document.getElementById('after').click()"))
    assert page.run(CURRENT) == ["Core vitrectomy"]
    page.run(wait_for("seeked", "document.getElementById('before').click()"))
    assert page.run(CURRENT) == ["Port placement"]
    page.run(wait_for("seeked", "document.querySelector('.places button').click()"))
    assert times[20] <= page.run(AT) < times[21]
    x, y = middle(page, ".timeline svg rect.band:last-of-type")
    with landing(page):
        page.click(x, y)
    drawn = page.run("(({x, width}) => [x, width])(document.querySelector('.playhead').getBoundingClientRect())")
    assert abs(drawn[0] + drawn[1] / 2 - x) < 2


def test_all_of_it_by_keys_with_a_name_for_each_control(folder: Folder, page: Page) -> None:
    page.open(folder("mp4") / "index.html")
    page.run(LOADED)
    controls = page.controls()
    assert all(name for _, name in controls)
    assert {"0:00 Core vitrectomy", "Previous chapter", "Next chapter"} <= {name for _, name in controls}
    for _ in range(40):
        page.press("Tab")
        if "Base shaving" in page.run("document.activeElement.textContent"):
            break
    outline = page.run("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    with landing(page):
        page.press("Enter")
    assert page.run(CURRENT) == ["Base shaving"]


@pytest.mark.parametrize(("scheme", "colours"), [("light", LIGHT), ("dark", DARK)])
def test_it_is_light_or_dark_as_the_system_and_legible(
    scheme: str, colours: Colours, folder: Folder, page: Page
) -> None:
    page.emulate(scheme)
    page.open(folder("mp4") / "index.html")
    assert _hex(page.run("getComputedStyle(document.body).backgroundColor")) == colours.ground
    seen = page.run(
        "[...document.querySelectorAll('h1, h2, p, li, td, th, caption, figcaption, .when, .where')]"
        ".map(one => getComputedStyle(one).color)"
    )
    assert min(contrast(_hex(one), ground) for one in set(seen) for ground in (colours.panel, colours.ground)) >= 4.5


def _hex(colour: str) -> str:
    return "#" + "".join(f"{int(part):02x}" for part in colour[4:-1].split(","))


@pytest.mark.parametrize("width", [320, 700, 1280])
def test_nothing_runs_out_of_a_narrow_window(width: int, folder: Folder, page: Page) -> None:
    """320 px: what WCAG 2.2, 1.4.10 Reflow asks for."""
    page.resize(width, 600)
    page.open(folder("mp4") / "index.html")
    assert page.run("document.documentElement.scrollWidth") <= width
    outside = page.run(
        "[...document.querySelectorAll('button, label, h1, h2, video')]"
        ".filter(one => one.getBoundingClientRect().right > innerWidth).map(one => one.textContent)"
    )
    assert outside == []
    small = page.run(
        "[...document.querySelectorAll('main button, label')]"
        ".filter(one => one.getBoundingClientRect().height < 24).length"
    )
    assert small == 0


def test_on_paper_there_is_no_player(folder: Folder, page: Page) -> None:
    page.emulate("dark", "print")
    page.open(folder("mp4") / "index.html")
    assert page.run("getComputedStyle(document.querySelector('.player')).display") == "none"
    assert page.run("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.paper().startswith(b"%PDF")


def test_names_that_mean_harm_stay_names(tmp_path: Path, page: Page) -> None:
    case = harmful()
    files = share_page.Files("nothing.webm", "nothing.jpg", ())
    path = tmp_path / "index.html"
    path.write_text(share_page.dumps(case, plan(case).chapters, files, HARMFUL), encoding="utf-8", newline="\n")
    page.open(path)
    titles = page.run("[...document.querySelectorAll('#chapters bdi')].map(one => one.textContent)")
    assert titles == [one_line(name) for name in HARMFUL]
    assert page.run("document.querySelectorAll('img, iframe, a[href*=invalid]').length") == 0
    assert page.run("document.title") == one_line(HARMFUL[6])
    assert not [line for line in page.console if "nothing." not in line and "ERR_FILE_NOT_FOUND" not in line]


def test_the_page_itself_forbids_what_it_does_not_need(folder: Folder, page: Page) -> None:
    """Content Security Policy, W3C; tried as somebody would who had found a way to put markup in."""
    page.open(folder("mp4") / "index.html")
    page.run(
        "document.body.insertAdjacentHTML('beforeend', '<p id=x onclick=\"window.hurt = 1\" style=\"color: red\">')"
    )
    page.run("document.getElementById('x').click()")
    assert page.run("window.hurt === undefined")
    assert page.run("getComputedStyle(document.getElementById('x')).color") != "rgb(255, 0, 0)"
    assert page.run("fetch('http://127.0.0.1:9/').then(() => 'asked', () => 'refused')") == "refused"
    assert all("Content Security Policy" in line for line in page.console)
    assert len(page.console) >= 3


def test_without_scripts_the_chapters_can_be_read(folder: Folder, page: Page) -> None:
    page.call("Emulation.setScriptExecutionDisabled", value=True)
    page.call("Page.navigate", url=(folder("mp4") / "index.html").as_uri())
    while not (names := [name for role, name in page.controls() if role == "button" and ":" in name]):
        pass
    assert names[:3] == ["0:00 Port placement", "0:00 Core vitrectomy", "0:02 Base shaving"]


WIDTHS = [320, 360, 640, 801, 1101, 1280]
"""Of a telephone, of a window of 1280 at 200 %, at and beside the widths where the page changes, and of a laptop."""


@pytest.mark.parametrize("width", WIDTHS)
def test_the_summary_fits_and_asks_for_nothing(width: int, tmp_path: Path, page: Page) -> None:
    path = tmp_path / "durations.html"
    path.write_text(summary_html.dumps(summarise(PLACED), PLACED), encoding="utf-8", newline="\n")
    page.resize(width, 700)
    page.open(path)
    assert page.run("document.documentElement.scrollWidth") <= width
    assert (page.asked, page.console) == ([path.as_uri()], [])


def hours_long() -> Case:
    """Every figure as wide as it gets, a share of nearly nothing among them, and every performer's table."""
    longer = 300
    recordings = tuple(replace(one, duration=one.duration * longer) for one in MODEL_EYE.recordings)
    times = [(one, one.start * longer, (one.end or 0) * longer) for one in MODEL_EYE.tags[1:]]
    tags = tuple(replace(one, start=start, end=end) for one, start, end in times)
    return replace(MODEL_EYE, recordings=recordings, tags=(replace(MODEL_EYE.tags[0], end=1), *tags))


@pytest.mark.parametrize("width", WIDTHS)
def test_no_figure_lies_over_another_and_nothing_scrolls_sideways(width: int, tmp_path: Path, page: Page) -> None:
    case = hours_long()
    path = tmp_path / "durations.html"
    path.write_text(summary_html.dumps(summarise(case, by_performer=True), case), encoding="utf-8", newline="\n")
    page.resize(width, 700)
    page.open(path)
    scrolled = (
        "[...document.querySelectorAll('body *:not(svg *)')].filter(one => one.scrollWidth > one.clientWidth + 1)"
    )
    seen = ".filter(one => one.clientWidth > 1).map(one => one.outerHTML.slice(0, 90))"
    assert page.run(scrolled + seen) == []
    boxes = page.run(
        "[...document.querySelectorAll('tbody tr')].map(row =>"
        "[...row.querySelectorAll('bdi, td > div > *, td:not(.share)')]"
        ".map(one => one.getBoundingClientRect().toJSON()))"
    )
    assert boxes
    for row in boxes:
        for number, one in enumerate(row):
            assert one["width"] > 0
            assert not [other for other in row[number + 1 :] if lie_over(one, other)]


def lie_over(one: dict[str, float], other: dict[str, float]) -> bool:
    beside = one["right"] <= other["left"] + 0.5 or other["right"] <= one["left"] + 0.5
    return not beside and one["top"] < other["bottom"] - 0.5 and other["top"] < one["bottom"] - 0.5


@pytest.mark.parametrize(("width", "shown"), [(360, ["narrow"]), (1280, ["wide"])])
def test_one_of_the_two_timelines_is_seen_and_legible(width: int, shown: list[str], folder: Folder, page: Page) -> None:
    page.resize(width, 700)
    page.open(folder("mp4") / "index.html")
    drawings = "[...document.querySelectorAll('.timeline svg')].filter(one => one.getBoundingClientRect().width > 0)"
    assert page.run(f"{drawings}.map(one => one.getAttribute('class'))") == shown
    heights = page.run(
        f"{drawings}.flatMap(one => [...one.querySelectorAll('text')]).map(one => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= 10
    page.run(LOADED)
    page.run(wait_for("seeked", "document.querySelector('#chapters li:nth-child(2) button').click()"))
    band = page.run(f"{drawings}[0].querySelectorAll('rect.band')[1].getBoundingClientRect().toJSON()")
    head = page.run(f"{drawings}[0].querySelector('.playhead').getBoundingClientRect().toJSON()")
    assert abs(band["left"] - (head["left"] + head["right"]) / 2) < 2
