"""The list in which recordings are put in order, before a case is made of them and later in it."""

import errno
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.start import recording_reader
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.window import Window
from annotator.model.recording import Recording
from annotator.workflow.cases_of import beside
from annotator.workflow.new_case import read_recording
from annotator.workflow.recording_files import recordings_in
from tests.desktop.conftest import Opener
from tests.desktop.driving import answer, bench_of, controller_of, picture_number, question, seek, tag, words_of
from tests.desktop.editing.test_tagging import labels
from tests.desktop.films import film
from tests.store.failing_disk import FailingDisk


@pytest.fixture(scope="session")
def three(films: Path) -> list[Path]:
    """One, two and three seconds, named so that letters would put the last one second."""
    return [film(films / f"part {number}.mp4", frames, "30") for number, frames in ((1, 30), (2, 60), (10, 90))]


@pytest.fixture
def parts(three: list[Path], tmp_path: Path) -> list[Path]:
    copies = [tmp_path / path.name for path in three]
    for copy, path in zip(copies, three, strict=True):
        copy.write_bytes(path.read_bytes())
    return copies


@pytest.fixture
def page(window: Window, parts: list[Path], qtbot: QtBot) -> RecordingsPage:
    """The list of the three, named in the order of clicks."""
    window.open_paths([parts[2], parts[0], parts[1]])
    qtbot.waitUntil(window.recordings.use.isEnabled, timeout=20_000)
    return window.recordings


def names(page: RecordingsPage) -> list[str]:
    return [entry.path.stem for entry in page.list.entries]


def shows_names(window: Window) -> list[str]:
    return [Path(one.path).stem for one in controller_of(window).case.recordings]


def choose(page: RecordingsPage, row: int) -> None:
    page.list.setFocus()
    page.list.setCurrentRow(row)


# --- before there is a case ----------------------------------------------------------------------------------------


def test_they_are_listed_by_name_with_their_lengths(page: RecordingsPage) -> None:
    assert names(page) == ["part 1", "part 2", "part 10"]
    assert [entry.length for entry in page.list.entries] == ["0:01", "0:02", "0:03"]
    assert page.says.text() == "3 recordings, 0:06 in all."
    spoken = page.list.item(1).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "part 2.mp4, 0:02"


def test_they_are_moved_by_keys_and_joined_as_they_stand(page: RecordingsPage, window: Window, qtbot: QtBot) -> None:
    window.activateWindow()
    choose(page, 2)
    for expected in (["part 1", "part 10", "part 2"], ["part 10", "part 1", "part 2"], ["part 10", "part 1", "part 2"]):
        QTest.keyClick(page.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
        assert names(page) == expected
    assert page.list.currentRow() == 0
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        page.use.click()
    assert shows_names(window) == ["part 10", "part 1", "part 2"]
    assert controller_of(window).session.path.name == "part 10.case.jsonld"


def test_a_line_that_is_dragged_counts(page: RecordingsPage) -> None:
    assert page.list.model().moveRow(QModelIndex(), 0, QModelIndex(), 3)
    assert names(page) == ["part 2", "part 10", "part 1"]
    assert page.by_name.isEnabled()
    page.by_name.click()
    assert names(page) == ["part 1", "part 2", "part 10"]
    assert not page.by_name.isEnabled()


def test_some_are_taken_off_and_others_put_on(
    page: RecordingsPage, window: Window, tmp_path: Path, qtbot: QtBot
) -> None:
    window.activateWindow()
    choose(page, 0)
    QTest.keyClick(page.list, Qt.Key.Key_Delete)
    assert names(page) == ["part 2", "part 10"]
    more = film(tmp_path / "more.mp4", 15, "30")
    page.add([more, more])
    qtbot.waitUntil(page.use.isEnabled, timeout=20_000)
    assert names(page) == ["part 2", "part 10", "more"]
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        page.use.click()
    assert shows_names(window) == ["part 2", "part 10", "more"]


def test_what_can_not_be_read_says_why_and_must_be_removed(page: RecordingsPage, tmp_path: Path, qtbot: QtBot) -> None:
    words = tmp_path / "words.mp4"
    words.write_text("no recording")
    page.add([words])
    qtbot.waitUntil(lambda: bool(page.list.entries[-1].why), timeout=20_000)
    assert "is text, not a recording" in page.list.entries[-1].why
    assert "Remove the marked ones" in page.says.text()
    assert not page.use.isEnabled()
    assert not page.each.isEnabled()
    choose(page, 3)
    page.remove.click()
    assert page.use.isEnabled()


def test_the_same_recording_twice_is_said(
    page: RecordingsPage, parts: list[Path], tmp_path: Path, qtbot: QtBot
) -> None:
    copy = tmp_path / "copy.mp4"
    copy.write_bytes(parts[0].read_bytes())
    page.add([copy])
    qtbot.waitUntil(lambda: "are the same recording" in page.says.text(), timeout=20_000)
    assert not page.use.isEnabled()
    choose(page, 0)
    page.remove.click()
    assert page.use.isEnabled()


def test_a_folder_is_listed_beside_the_window(
    page: RecordingsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    """A folder on a network may take its time, and a recording there may never be read."""
    folder, let_go = tmp_path / "more", Event()
    folder.mkdir()
    film(folder / "part 11.mp4", 15, "30")

    def slowly(path: Path) -> list[Path]:
        let_go.wait()
        return recordings_in(path)

    monkeypatch.setattr(recording_reader, "recordings_in", slowly)
    page.add([folder])
    assert page.says.text() == "Looking for recordings…"
    assert not page.use.isEnabled()
    let_go.set()
    qtbot.waitUntil(page.use.isEnabled, timeout=20_000)
    assert names(page) == ["part 1", "part 2", "part 10", "part 11"]


def test_a_recording_that_hangs_is_taken_off_and_the_others_are_read(
    page: RecordingsPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    let_go, begun, more = Event(), Event(), film(tmp_path / "more.mp4", 15, "30")

    def read(path: Path, *args: Any) -> Recording:
        if path.name == "hangs.mp4":
            begun.set()
            let_go.wait()
        return read_recording(path, *args)

    monkeypatch.setattr(recording_reader, "read_recording", read)
    page.add([tmp_path / "hangs.mp4", more])
    qtbot.waitUntil(begun.is_set, timeout=20_000)
    choose(page, 3)
    page.remove.click()
    qtbot.waitUntil(page.use.isEnabled, timeout=20_000)
    assert names(page) == ["part 1", "part 2", "part 10", "more"]
    let_go.set()


def test_names_are_seen_whole_however_long(page: RecordingsPage, window: Window, tmp_path: Path, qtbot: QtBot) -> None:
    long = tmp_path / f"{'recorder_' * 20}.mp4"
    long.touch()
    before = page.list.sizeHintForRow(0)
    page.add([long])
    qtbot.waitUntil(lambda: len(page.list.entries) == 4, timeout=20_000)
    assert page.list.sizeHintForRow(3) > before + 2 * 12  # three lines at least
    assert window.width() == 1280
    assert page.list.horizontalScrollBar().maximum() == 0


def test_one_case_each_leaves_all_of_them_at_hand(
    page: RecordingsPage, window: Window, parts: list[Path], qtbot: QtBot
) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        page.each.click()
    assert all(beside(path).exists() for path in parts)
    assert controller_of(window).session.path == beside(parts[0])
    assert len(controller_of(window).case.recordings) == 1
    assert [Path(one.path) for one in window.preferences.recent_cases] == [beside(path) for path in parts]


def test_left_by_escape_nothing_is_made(page: RecordingsPage, window: Window, parts: list[Path]) -> None:
    window.activateWindow()
    choose(page, 0)
    QTest.keyClick(page.list, Qt.Key.Key_Escape)
    assert window.start.isVisible()
    assert not list(parts[0].parent.glob("*.jsonld"))


def test_the_settings_lead_back_to_the_list(page: RecordingsPage, window: Window) -> None:
    window.commands.actions["show_settings"].trigger()
    assert not page.isVisible()
    window.settings.page.closed.emit()
    assert page.isVisible()
    assert names(page) == ["part 1", "part 2", "part 10"]


# --- later, in the case ------------------------------------------------------------------------------------


@pytest.fixture
def joined(opened: Opener, parts: list[Path], qtbot: QtBot) -> Window:
    """The three as one case, tagged in the first one and over the border from the second to the third."""
    window = opened(*parts)
    for at, key in ((0, "p"), (500, "Escape"), (2_000, "c"), (4_000, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    window.commands.actions["show_recordings"].trigger()
    assert window.recordings.isVisible()
    return window


def use(qtbot: QtBot, window: Window) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        window.recordings.use.click()


def test_tags_stay_on_their_recordings_when_these_change_places(joined: Window, qtbot: QtBot) -> None:
    page = joined.recordings
    assert [(entry.path.stem, entry.tags) for entry in page.list.entries] == [
        ("part 1", 1),
        ("part 2", 1),
        ("part 10", 1),
    ]
    choose(page, 0)
    page.down.click()
    use(qtbot, joined)
    assert shows_names(joined) == ["part 2", "part 1", "part 10"]
    assert labels(controller_of(joined).case) == [
        ("core-vitrectomy", 1_000, 2_000),
        ("port-placement", 2_000, 2_500),
        ("core-vitrectomy", 3_000, 4_000),
    ]
    seek(qtbot, joined, 2_000)
    assert picture_number(joined) == 0
    with qtbot.waitSignal(joined.player.shown, timeout=20_000):
        QTest.keySequence(joined, "Ctrl+Z")
    assert shows_names(joined) == ["part 1", "part 2", "part 10"]
    assert labels(controller_of(joined).case) == [("port-placement", 0, 500), ("core-vitrectomy", 2_000, 4_000)]
    assert bench_of(joined).isVisible()


@pytest.mark.parametrize("says", ["Remove both", "Cancel"])
def test_removing_what_is_tagged_is_asked_about_and_comes_back(says: str, joined: Window, qtbot: QtBot) -> None:
    page = joined.recordings
    choose(page, 0)
    page.remove.click()
    page.use.click()
    assert "1 tag is on the recordings you remove" in words_of(question(qtbot, joined))
    if says == "Cancel":
        answer(qtbot, joined, says)
        assert len(controller_of(joined).case.recordings) == 3
        assert page.isVisible()
        return
    with qtbot.waitSignal(joined.player.shown, timeout=20_000):
        answer(qtbot, joined, says)
    assert shows_names(joined) == ["part 2", "part 10"]
    assert labels(controller_of(joined).case) == [("core-vitrectomy", 1_000, 3_000)]
    with qtbot.waitSignal(joined.player.shown, timeout=20_000):
        joined.commands.actions["undo"].trigger()
    assert labels(controller_of(joined).case) == [("port-placement", 0, 500), ("core-vitrectomy", 2_000, 4_000)]


def test_a_part_that_turned_up_is_added_and_the_case_keeps_it(
    joined: Window, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    more = film(tmp_path / "part 3.mp4", 45, "30")
    page = joined.recordings
    page.add([more])
    qtbot.waitUntil(page.use.isEnabled, timeout=20_000)
    use(qtbot, joined)
    assert shows_names(joined) == ["part 1", "part 2", "part 10", "part 3"]
    assert controller_of(joined).case.duration == 7_500
    path = controller_of(joined).session.path
    joined.close_case()
    opened(path)
    assert shows_names(joined) == ["part 1", "part 2", "part 10", "part 3"]
    assert bench_of(joined).notices.texts == ["This recording has no sound."]
    seek(qtbot, joined, 6_500)
    assert picture_number(joined) == 15


def test_nothing_changed_is_no_change(joined: Window) -> None:
    before = controller_of(joined).case
    joined.recordings.use.click()
    assert controller_of(joined).case is before
    assert bench_of(joined).isVisible()


def test_while_the_recordings_are_read_anew_nothing_else_is_shown(joined: Window, qtbot: QtBot) -> None:
    choose(joined.recordings, 0)
    joined.recordings.down.click()
    joined.recordings.use.click()
    assert joined.loading.isVisible()
    joined.loading.cancelled.emit()
    assert joined.start.isVisible()
    assert joined.bench is None


def put_first_last(window: Window) -> None:
    """The first recording becomes the last, by the page that is open."""
    choose(window.recordings, 0)
    window.recordings.down.click()
    window.recordings.down.click()
    window.recordings.use.click()


def test_the_same_frame_is_on_screen_in_another_order(joined: Window, qtbot: QtBot) -> None:
    seek(qtbot, joined, 1_500)
    shown = picture_number(joined)
    joined.commands.actions["show_recordings"].trigger()
    with qtbot.waitSignal(joined.player.shown, timeout=20_000, check_params_cb=lambda _, at: at == 500):
        put_first_last(joined)
    assert shows_names(joined) == ["part 2", "part 10", "part 1"]
    assert picture_number(joined) == shown
    with qtbot.waitSignal(joined.player.shown, timeout=20_000, check_params_cb=lambda _, at: at == 1_500):
        QTest.keySequence(joined, "Ctrl+Z")
    assert picture_number(joined) == shown


def test_an_order_that_a_full_disk_refuses_does_not_wait(joined: Window, qtbot: QtBot) -> None:
    """What is tagged after it would be put on other frames once there is space."""
    before = controller_of(joined).case
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        put_first_last(joined)
        assert joined.recordings.isVisible(), "the order is not lost"
        assert "the disk is full" in joined.status.said
        joined.recordings.cancel.click()
        assert controller_of(joined).retry.waiting == 0
        seek(qtbot, joined, 5_000)
        QTest.keySequence(joined, "h")
    assert controller_of(joined).case is before
    joined.commands.actions["try_to_keep"].trigger()
    assert shows_names(joined) == ["part 1", "part 2", "part 10"]
    assert labels(controller_of(joined).case)[-1][1] == 5_000


def test_what_waits_behind_an_order_undone_is_not_put_on_other_frames(joined: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(joined.player.shown, timeout=20_000):
        put_first_last(joined)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(joined, "Ctrl+Z")
        seek(qtbot, joined, 4_500)
        QTest.keySequence(joined, "h")
    with qtbot.waitSignal(joined.player.shown, timeout=20_000):
        joined.commands.actions["try_to_keep"].trigger()
        assert "reordered before this was saved" in joined.status.said
    assert shows_names(joined) == ["part 1", "part 2", "part 10"]
    assert labels(controller_of(joined).case) == [("port-placement", 0, 500), ("core-vitrectomy", 2_000, 4_000)]


def test_what_waits_for_the_disk_waits_on_when_the_case_is_shown_anew(joined: Window, qtbot: QtBot) -> None:
    def fill(_change: object) -> None:
        """As another program may, right after the order was kept."""
        disk.__enter__()
        controller = controller_of(joined)
        controller.tag(controller.case.vocabulary.match("delamination").iri)

    disk = FailingDisk(fails=1, code=errno.ENOSPC, lasting=True)
    controller_of(joined).rearranged.connect(fill)
    shown = bench_of(joined)
    try:
        with qtbot.waitSignal(joined.player.shown, timeout=20_000):
            put_first_last(joined)
        assert bench_of(joined) is not shown
        assert any("not saved yet: the disk is full" in says for says in bench_of(joined).notices.texts)
        assert not joined.close_case()
    finally:
        disk.__exit__(None, None, None)
    joined.commands.actions["try_to_keep"].trigger()
    assert "delamination" in {name for name, _, _ in labels(controller_of(joined).case)}
    assert not controller_of(joined).retry.is_stuck


def test_reading_anew_goes_on_where_the_case_can_not_be_closed(joined: Window, qtbot: QtBot) -> None:
    put_first_last(joined)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        controller = controller_of(joined)
        controller.tag(controller.case.vocabulary.match("delamination").iri)
        with qtbot.waitSignal(joined.player.shown, timeout=20_000):
            joined.loading.cancelled.emit()
        assert bench_of(joined).isVisible()
        assert shows_names(joined) == ["part 2", "part 10", "part 1"]
