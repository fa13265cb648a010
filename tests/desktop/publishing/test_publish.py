"""Publishing from the window: what will happen is said before, it is done beside the window, and told afterwards."""

from collections.abc import Callable, Sequence
from pathlib import Path
from threading import Event

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRect, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QLabel, QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.publishing import jobs as publish_jobs
from annotator.desktop.publishing.panel import CAUTION, PublishPanel
from annotator.desktop.tasks.task import Job
from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from annotator.media.probe import probe
from annotator.model.case import UNTITLED, Tag
from annotator.model.recording import Recording
from annotator.progress import Progress
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, publish, tag
from tests.desktop.films import film
from tests.desktop.workspace.test_menus import menu_at


@pytest.fixture
def case(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """A step that runs from the first frame on, and a moment; the publishing page is open, and nothing ticked."""
    window = opened(recording)
    tag(qtbot, window, "c")
    tag(qtbot, window, "1")
    bench_of(window).panels.show_publish()
    for part in (panel_of(window).form.chapters, panel_of(window).form.durations):
        part.set_on(False)
    return window


def panel_of(window: Window) -> PublishPanel:
    return bench_of(window).publish


def choose(field: QComboBox, value: object) -> None:
    field.setCurrentIndex(field.findData(value))


def new_files(recording: Path) -> set[str]:
    """What is in the folder beside the recording, its case, and the test's own folders."""
    kept = (".case", recording.name, "XDG", "APPDATA", "settings")
    return {path.name for path in recording.parent.iterdir() if not any(one in path.name for one in kept)}


def test_nothing_ticked_writes_nothing(case: Window) -> None:
    panel = panel_of(case)
    assert not panel.write.isEnabled()
    panel.form.chapters.set_on(True)
    assert panel.write.isEnabled()


def test_all_in_one_go_under_names_that_name_nobody(case: Window, recording: Path, qtbot: QtBot) -> None:
    panel = panel_of(case)
    for part in (panel.form.chapters, panel.form.shared, panel.form.recording):
        part.set_on(True)
    choose(panel.form.container, ".mkv")
    publish(qtbot, case)
    assert panel.result.text().splitlines()[1:4] == [
        "operation.chapters.vtt",
        "operation.shared: 6 files",
        "operation.with-chapters.mkv",
    ]
    assert new_files(recording) == {"operation.chapters.vtt", "operation.shared", "operation.with-chapters.mkv"}
    assert len(probe(recording.with_name("operation.with-chapters.mkv")).chapters) == 1
    assert panel.result.open_page.isVisible()


def test_nothing_that_is_written_holds_the_name_of_the_recording(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    named = recording.rename(recording.with_name("QUILLON_Tabitha.mp4"))
    window = opened(named)
    tag(qtbot, window, "c")
    bench_of(window).panels.show_publish()
    panel = panel_of(window)
    for part in (panel.form.chapters, panel.form.durations, panel.form.shared, panel.form.recording):
        part.set_on(True)
    publish(qtbot, window)
    written = [path for path in recording.parent.rglob("operation*") for path in [path, *path.rglob("*")]]
    assert len(written) > 6
    for path in written:
        assert not path.is_file() or b"quillon" not in path.read_bytes().lower(), path
    assert UNTITLED in recording.with_name("operation.durations.html").read_text(encoding="utf-8")


def test_a_copy_that_was_tagged_stays_also_where_files_may_be_replaced(
    case: Window, recording: Path, qtbot: QtBot
) -> None:
    panel = panel_of(case)
    panel.form.recording.set_on(True)
    publish(qtbot, case)
    copy = recording.with_name("operation.with-chapters.mp4")
    panel.back.click()
    choose(panel.target.existing, True)
    publish(qtbot, case)
    assert panel.result.headline.startswith("Published to")
    tagged = replace(controller_of(case).case, recordings=(Recording("urn:r", copy.name, "", 1_000),), tags=())
    Session.create(recording.with_name("talk.case.jsonld"), tagged).close()
    before = copy.read_bytes()
    panel.back.click()
    publish(qtbot, case)
    assert "talk.case.jsonld refers to, and is never overwritten" in panel.result.text()
    assert copy.read_bytes() == before


def test_who_goes_on_with_other_work_keeps_the_keys(case: Window, qtbot: QtBot) -> None:
    panel, bench = panel_of(case), bench_of(case)
    panel.form.chapters.set_on(True)
    publish(qtbot, case)
    assert panel.back.hasFocus()
    panel.back.click()
    assert panel.write.hasFocus()
    with qtbot.waitSignals([panel.finished, controller_of(case).said], timeout=20_000):
        panel.write.click()
        bench.sheet.setFocus()
        kept = case.focusWidget()
    assert case.focusWidget() is kept
    assert kept is not panel.back
    assert case.status.said.startswith("Published to")


def test_the_names_follow_the_title_and_can_be_typed(case: Window, recording: Path, qtbot: QtBot) -> None:
    controller_of(case).rename("Macula off, 2nd case")
    case.close_case()
    with qtbot.waitSignal(case.player.shown, timeout=20_000):
        case.open_paths([recording.with_name("model-eye.case.jsonld")])
    panel = panel_of(case)
    assert panel.target.field.text() == "Macula-off-2nd-case"
    panel.target.field.setText("grand round: 1/2")
    panel.form.chapters.set_on(True)
    publish(qtbot, case)
    assert new_files(recording) == {"grand-round-1-2.chapters.vtt"}


def test_stills_and_clips_of_the_chosen_tag(case: Window, recording: Path, qtbot: QtBot) -> None:
    panel = panel_of(case)
    controller_of(case).select(None)
    panel.form.stills.set_on(True)
    assert panel.on_tags.text().startswith("No tag is selected")
    assert not panel.write.isEnabled()
    controller_of(case).select(controller_of(case).case.tags[0].id)
    assert panel.form.of.currentText() == "Selected tags (1)"
    assert panel.on_tags.text() == "Stills: 1 selected tag."
    panel.form.clips.set_on(True)
    assert panel.on_tags.text().startswith("Clips and stills: 1 selected tag. Re-encoding takes")
    assert [part.head.text() for part in (panel.form.clips, panel.form.stills)] == ["Clips (1)", "Stills (1)"]
    assert panel.on_tags.visibleRegion().boundingRect().size() == panel.on_tags.size()
    publish(qtbot, case)
    clips, stills = (recording.with_name(f"operation.{kind}") for kind in ("clips", "stills"))
    assert [path.name for path in stills.iterdir()] == ["00-00-00.000-core-vitrectomy.png"]
    assert len(read_index(clips / "00-00-00.000-core-vitrectomy.mp4")) == 150


def test_where_a_copied_clip_begins_is_said_before(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    """A key frame every 50 frames of 40 ms: a tag at frame 30 begins 1.2 s after one."""
    window = opened(film(tmp_path / "eye.mp4", 100, "25", "-bf", "2", "-g", "50", "-sc_threshold", "0"))
    with qtbot.waitSignal(window.player.shown, timeout=5_000):
        window.player.seek(1_200)
    tag(qtbot, window, "c")
    bench_of(window).panels.show_publish()
    panel = panel_of(window)
    panel.form.clips.set_on(True)
    assert panel.on_tags.text().startswith("Clips: 1 selected tag. Re-encoding takes")
    choose(panel.form.clip_form, "copy")
    qtbot.waitUntil(lambda: "It begins 1.2 s before its tag" in panel.on_tags.text(), timeout=5_000)
    publish(qtbot, window)
    (clip,) = (tmp_path / "operation.clips").iterdir()
    assert len(read_index(clip)) == 100
    assert "begins 1.200 s before its tag" in panel.result.text()


def test_what_is_there_already_is_said_before_and_stays(case: Window, recording: Path, qtbot: QtBot) -> None:
    panel = panel_of(case)
    panel.form.chapters.set_on(True)
    publish(qtbot, case)
    before = recording.with_name("operation.chapters.vtt").read_bytes()
    tag(qtbot, case, "h")
    panel.back.click()
    assert panel.target.says_of_names == "operation.chapters.vtt exists; the new names begin with operation-2."
    publish(qtbot, case)
    assert recording.with_name("operation.chapters.vtt").read_bytes() == before
    assert new_files(recording) == {"operation.chapters.vtt", "operation-2.chapters.vtt"}
    panel.back.click()
    choose(panel.target.existing, True)
    assert panel.target.says_of_names == "operation.chapters.vtt will be replaced."
    publish(qtbot, case)
    assert recording.with_name("operation.chapters.vtt").read_bytes() != before


def places(panel: PublishPanel) -> dict[str, QPoint]:
    return {tick.text(): tick.mapTo(panel, QPoint()) for tick in panel.findChildren(QCheckBox)}


def test_no_tick_moves_another_and_the_button_is_always_seen(case: Window, qtbot: QtBot) -> None:
    """At the size of a laptop, with everything ticked and everything said."""
    panel = panel_of(case)
    before = places(panel)
    for tick in panel.findChildren(QCheckBox):
        tick.setChecked(True)
        assert places(panel) == before, f"{tick.text()} moves others"
    choose(panel.form.clip_form, "copy")
    with qtbot.waitSignal(panel.looked, timeout=20_000):
        panel.form.of.setCurrentIndex(1)
    panel.target.folder.joinpath("operation.chapters.vtt").write_text("WEBVTT", encoding="utf-8")
    choose(panel.target.existing, True)
    QApplication.processEvents()
    assert panel.target.says_of_names
    for part in (panel.write, panel.target.field, panel.target.where, panel.target.existing):
        area = QRect(part.mapTo(panel, QPoint()), part.size())
        assert part.isVisible()
        assert panel.rect().contains(area)
        assert part.visibleRegion().boundingRect().size() == part.size()


def test_in_a_low_window_the_choices_take_the_room(case: Window) -> None:
    """As on a screen of 1920x1080 at 200 %: where it goes scrolls along, and nothing is cut."""
    panel = panel_of(case)
    case.resize(960, 540)
    QApplication.processEvents()
    assert panel.target.parentWidget() is panel.form.parentWidget()
    assert sum(not tick.visibleRegion().isEmpty() for tick in panel.findChildren(QCheckBox)) > 2
    assert panel.write.visibleRegion().boundingRect().size() == panel.write.size()
    case.resize(1280, 720)
    QApplication.processEvents()
    assert panel.target.parentWidget() is panel.write.parentWidget()


def test_several_are_ticked_while_the_list_stays_open(case: Window) -> None:
    forms = panel_of(case).form.forms
    forms.tick(["xlsx"])
    forms.click()
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Space, Qt.Key.Key_Down, Qt.Key.Key_Space):
        QTest.keyClick(forms.menu_of_ticks, key)
    assert forms.menu_of_ticks.isVisible()
    assert (forms.values, forms.text()) == (("xlsx", "html", "csv"), "XLSX, HTML, CSV")
    QTest.mouseClick(
        forms.menu_of_ticks,
        Qt.MouseButton.LeftButton,
        pos=forms.menu_of_ticks.actionGeometry(forms.ticks["json"]).center(),
    )
    assert forms.values == ("xlsx", "html", "csv", "json")
    QTest.keyClick(forms.menu_of_ticks, Qt.Key.Key_Escape)
    assert not forms.menu_of_ticks.isVisible()


def test_what_is_not_checked_is_one_quiet_line_with_more_behind_it(case: Window) -> None:
    panel = panel_of(case)
    shown = [one for one in panel.findChildren(QLabel) if one.isVisible()]
    assert any(one.text() == "Not checked for patient identifiers" for one in shown)
    assert not any(one.text() == CAUTION for one in shown)
    more = next(one for one in panel.findChildren(QPushButton) if one.text() == "More")
    more.click()
    assert any(one.text() == CAUTION and one.isVisible() for one in panel.findChildren(QLabel))
    more.click()
    assert not any(one.text() == CAUTION for one in panel.findChildren(QLabel))


def test_choices_are_kept_for_the_next_case(case: Window, opened: Opener, recording: Path) -> None:
    panel = panel_of(case)
    panel.form.clips.set_on(True)
    choose(panel.form.clip_form, "webm")
    panel.form.chapter_ways.tick(["nested"])
    options = panel.options
    case.close_case()
    assert panel_of(opened(recording.with_name("model-eye.case.jsonld"))).options == options


def test_what_can_not_be_written_is_said(case: Window, recording: Path, qtbot: QtBot) -> None:
    panel = panel_of(case)
    panel.form.chapters.set_on(True)
    panel.target.folder = recording.with_name("gone")
    publish(qtbot, case)
    assert panel.result.text().splitlines() == [
        "Nothing was published",
        f"Nothing can be written into {recording.with_name('gone')}: there is no such folder; make it first",
    ]
    assert not panel.result.show_folder.isVisible()


def test_a_cancel_leaves_nothing(case: Window, recording: Path, qtbot: QtBot) -> None:
    panel = panel_of(case)
    controller_of(case).select(controller_of(case).case.tags[0].id)
    panel.form.clips.set_on(True)
    choose(panel.form.clip_form, "webm")
    before = new_files(recording)
    with qtbot.waitSignal(panel.finished, timeout=20_000):
        panel.write.click()
        assert panel.task_row.isVisible()
        assert not panel.back.isEnabled()
        panel.task_row.cancel.click()
    assert panel.result.text() == "Stopped. Nothing was published"
    assert new_files(recording) == before


def test_closing_the_case_stops_the_work_once_that_is_said(case: Window, recording: Path) -> None:
    panel = panel_of(case)
    controller_of(case).select(controller_of(case).case.tags[0].id)
    panel.form.clips.set_on(True)
    choose(panel.form.clip_form, "webm")
    panel.write.click()
    case.close_case()
    box = QApplication.activeModalWidget()
    assert isinstance(box, QMessageBox)
    next(button for button in box.buttons() if button.text() == "Stop and close").click()
    assert case.bench is None
    assert new_files(recording) == set()


def test_the_way_to_the_files(case: Window, recording: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[QUrl] = []
    note: Callable[[QUrl], None] = asked.append
    monkeypatch.setattr(QDesktopServices, "openUrl", note)
    panel = panel_of(case)
    panel.form.shared.set_on(True)
    publish(qtbot, case)
    panel.result.open_page.click()
    panel.result.show_folder.click()
    assert [Path(url.toLocalFile()) for url in asked] == [
        recording.with_name("operation.shared") / "index.html",
        recording.parent,
    ]
    files = next(one for one in panel.result.findChildren(QLabel) if one.accessibleName() == "Published files")
    offers = menu_at(files, files.rect().center())
    assert list(offers) == [*(f"Open {name}" for name in written_names(files)), "Open folder", "Copy"]
    offers["Open operation.shared"].trigger()
    assert Path(asked[-1].toLocalFile()) == recording.with_name("operation.shared")
    offers["Copy"].trigger()
    assert QApplication.clipboard().text() == files.text()


def written_names(files: QLabel) -> list[str]:
    return [line.partition(":")[0] for line in files.text().splitlines()]


def test_choosing_tags_waits_for_no_look_at_the_recording(
    case: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where copies begin is looked up for the newest choice only; what is given up ends when it likes."""
    begun, may_go_on = Event(), Event()
    asked: list[int] = []

    def early_starts(_case: object, _path: Path, tags: Sequence[Tag], _kept_in: Path) -> Job:
        def job(_progress: Progress) -> str:
            asked.append(len(tags))
            begun.set()
            assert may_go_on.wait(60)
            return f"Said of {len(tags)}."

        return job

    monkeypatch.setattr(publish_jobs, "early_starts", early_starts)
    panel, controller = panel_of(case), controller_of(case)
    one, two = (tag.id for tag in controller.case.tags)
    panel.form.clips.set_on(True)
    choose(panel.form.clip_form, "copy")
    assert begun.wait(60)
    controller.select(None)
    controller.select(one)
    controller.select(one, [one, two])
    with qtbot.waitSignal(panel.looked, timeout=20_000):
        may_go_on.set()
    assert asked == [1, 2]
    assert panel.on_tags.text() == "Clips: 2 selected tags. Said of 2."
