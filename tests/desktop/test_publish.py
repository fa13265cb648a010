"""Publishing from the window: long work beside it, its result in a line, a cancel that leaves nothing."""

from pathlib import Path

from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from annotator.desktop.publish_panel import PublishPanel
from annotator.desktop.window import Window
from annotator.media.index import read_index
from annotator.media.probe import probe
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag


def tagged(recording: Path, opened: Opener, qtbot: QtBot) -> tuple[Window, PublishPanel]:
    """A step that runs from the first frame on, and a moment."""
    window = opened(recording)
    tag(qtbot, window, "c")
    tag(qtbot, window, "1")
    bench = bench_of(window)
    bench.show_publish()
    return window, bench.publish


def choose(panel: PublishPanel, name: str, value: str) -> None:
    found = next(one for one in panel.findChildren(QComboBox) if one.accessibleName() == name)
    found.setCurrentIndex(found.findData(value))


def new_files(recording: Path) -> set[str]:
    kept = (".case", recording.name)
    return {
        path.name for path in recording.parent.iterdir() if path.is_file() and not any(one in path.name for one in kept)
    }


def test_the_recording_with_chapters(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    _, panel = tagged(recording, opened, qtbot)
    choose(panel, "Container of the recording with chapters", ".mkv")
    with qtbot.waitSignal(panel.work.said, timeout=20_000):
        panel.make_recording.click()
        assert not panel.make_clips.isEnabled()
        assert panel.work.isVisible()
    assert panel.result.text().startswith("Written: model-eye.with-chapters.mkv.")
    assert len(probe(recording.with_name("model-eye.with-chapters.mkv")).chapters) == 1
    assert panel.make_clips.isEnabled()
    assert not panel.work.isVisible()


def test_stills_of_the_chosen_tag(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window, panel = tagged(recording, opened, qtbot)
    controller_of(window).choose(None)
    panel.make_stills.click()
    assert panel.result.text() == "No tag is chosen: choose one in the record."
    controller_of(window).choose(controller_of(window).case.tags[0].id)
    with qtbot.waitSignal(panel.work.said, timeout=20_000):
        panel.make_stills.click()
    assert panel.result.text() == "Written: 00-00-00.000-core-vitrectomy.png."
    assert recording.with_name("00-00-00.000-core-vitrectomy.png").is_file()


def test_clips_of_a_kind(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    _, panel = tagged(recording, opened, qtbot)
    choose(panel, "Which tags stills and clips are of", "facet")
    with qtbot.waitSignal(panel.work.said, timeout=60_000):
        panel.make_clips.click()
    clip = recording.with_name("00-00-00.000-core-vitrectomy.mp4")
    assert panel.result.text() == f"Written: {clip.name}."
    assert len(read_index(clip)) == 150


def test_a_folder_to_pass_on(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    _, panel = tagged(recording, opened, qtbot)
    with qtbot.waitSignal(panel.work.said, timeout=20_000):
        panel.make_folder.click()
    assert panel.result.text().startswith("Written: model-eye.shared, with index.html to open.")
    assert (recording.parent / "model-eye.shared" / "index.html").is_file()


def test_a_cancel_leaves_nothing(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    _, panel = tagged(recording, opened, qtbot)
    choose(panel, "Which tags stills and clips are of", "facet")
    choose(panel, "How clips are written", "webm")
    before = new_files(recording)
    with qtbot.waitSignal(panel.work.said, timeout=20_000):
        panel.make_clips.click()
        panel.work.cancel.click()
    assert panel.result.text() == "Cancelled; nothing is half-written."
    assert new_files(recording) == before


def test_closing_the_case_stops_the_work(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window, panel = tagged(recording, opened, qtbot)
    choose(panel, "Which tags stills and clips are of", "facet")
    choose(panel, "How clips are written", "webm")
    panel.make_clips.click()
    window.close_case()
    assert not [name for name in new_files(recording) if name.endswith((".webm", ".part"))]
