"""Nothing that is being written is stopped without a question, and the window tells of it wherever one looks."""

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QMenu, QMessageBox, QPushButton, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.publishing.panel import PublishPanel
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.store.session import Session
from tests.desktop.conftest import Opener, Writing
from tests.desktop.driving import bench_of, controller_of, seek, tag


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """A step that runs."""
    opened(recording)
    tag(qtbot, window, "c")
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


def panel_of(window: Window) -> PublishPanel:
    return bench_of(window).publish


def begin(window: Window) -> None:
    QTest.keySequence(window, "Ctrl+P")
    panel_of(window).write.click()
    assert panel_of(window).is_writing


def is_told_in_the_foot(window: Window) -> bool:
    return any(text.startswith("Publishing") for text in window.status.tasks.texts)


def asked(qtbot: QtBot) -> QMessageBox:
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None)
    box = QApplication.activeModalWidget()
    assert isinstance(box, QMessageBox)
    return box


def answer(box: QMessageBox, words: str) -> None:
    by_words = {button.text(): button for button in box.findChildren(QPushButton)}
    by_words[words].click()


def close_case(window: Window, _recording: Path) -> None:
    QTest.keySequence(window, "Ctrl+W")


def quit_program(window: Window, _recording: Path) -> None:
    window.close()


def open_another(window: Window, recording: Path) -> None:
    """It is asked once the other one is read."""
    other = recording.with_name("another-eye.mp4")
    other.write_bytes(recording.read_bytes() + bytes(8))  # the same content would be the same case
    window.open_paths([other])


WAYS = [close_case, quit_program, open_another]


@pytest.mark.parametrize("leave", WAYS)
def test_leaving_asks_and_publishing_goes_on(
    leave: Callable[[Window, Path], None], window: Window, recording: Path, writing: Writing, qtbot: QtBot
) -> None:
    begin(window)
    leave(window, recording)
    box = asked(qtbot)
    assert box.text().startswith("Publishing is still running.")
    if leave is not open_another:
        leave(window, recording)
        assert asked(qtbot) is box, "it is asked once"
    answer(box, "Keep publishing")
    assert (window.bench is not None, window.isVisible(), writing.has_ended.is_set()) == (True, True, False)
    with qtbot.waitSignal(panel_of(window).finished):
        writing.let_go.set()
    assert "the disk is full" in panel_of(window).result.text()


@pytest.mark.parametrize("leave", WAYS)
def test_leaving_stops_what_is_written_once_that_is_said(
    leave: Callable[[Window, Path], None], window: Window, recording: Path, writing: Writing, qtbot: QtBot
) -> None:
    begin(window)
    bench = window.bench
    leave(window, recording)
    answer(asked(qtbot), "Stop and close")
    assert writing.has_ended.is_set()
    qtbot.waitUntil(lambda: window.bench is not bench)
    assert window.isVisible() == (leave is not quit_program)


def test_who_stops_writing_and_stays_can_go_on(window: Window, recording: Path, writing: Writing, qtbot: QtBot) -> None:
    """The other case is given up while it is opened, which may take a while on a slow disk."""
    begin(window)
    open_another(window, recording)
    box, panel = asked(qtbot), panel_of(window)
    window.openings.began.connect(window.openings.give_up, Qt.ConnectionType.QueuedConnection)
    with qtbot.waitSignal(window.openings.ended):
        answer(box, "Stop and close")
    assert panel_of(window) is panel
    assert panel.back.isEnabled()
    assert "Stopped" in panel.result.text()
    panel.back.click()
    assert panel.write.isVisible()


def test_the_question_goes_when_what_it_asks_about_has_ended(
    window: Window, recording: Path, writing: Writing, qtbot: QtBot
) -> None:
    begin(window)
    close_case(window, recording)
    box = asked(qtbot)
    with qtbot.waitSignal(box.finished):
        writing.let_go.set()
    assert window.bench is not None, "what came of it is there to be read"
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    close_case(window, recording)
    assert window.bench is None


def test_the_foot_tells_of_it_while_the_panel_is_not_seen(window: Window, writing: Writing, qtbot: QtBot) -> None:
    begin(window)
    assert not is_told_in_the_foot(window)
    panel_of(window).closed.emit()
    qtbot.waitUntil(lambda: is_told_in_the_foot(window))
    QTest.keySequence(window, "Ctrl+P")
    assert not is_told_in_the_foot(window)
    QTest.keySequence(window, "Ctrl+,")
    qtbot.waitUntil(lambda: is_told_in_the_foot(window))
    with qtbot.waitSignal(panel_of(window).finished):
        writing.let_go.set()
    assert not is_told_in_the_foot(window)
    assert window.status.said == "Nothing was published"


def test_it_goes_on_when_the_case_is_shown_anew(window: Window, writing: Writing, qtbot: QtBot) -> None:
    """Another file for a recording makes the bench anew; so does an undo of that."""
    begin(window)
    before = window.bench
    controller = controller_of(window)
    controller.do(lambda case: edits.relocate(case, 0, case.recordings[0].path, case.recordings[0].fingerprint + "0"))
    qtbot.waitUntil(lambda: window.bench is not before)
    assert panel_of(window).is_writing
    qtbot.waitUntil(lambda: is_told_in_the_foot(window))
    with qtbot.waitSignal(panel_of(window).finished):
        writing.let_go.set()
    assert "the disk is full" in panel_of(window).result.text()


@pytest.mark.parametrize("key", ["Ctrl+P", "Ctrl+E", "Ctrl+5"])
def test_escape_closes_what_is_open_before_it_ends_a_step(key: str, window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, 1_001)
    QTest.keySequence(window, key)
    bench_of(window).picture.setFocus()
    assert bench_of(window).panels.has_open
    QTest.keySequence(window, "Escape")
    assert not bench_of(window).panels.has_open
    assert controller_of(window).running() is not None
    tag(qtbot, window, "Escape")
    assert controller_of(window).running() is None


def test_escape_leaves_the_name_of_the_files_and_then_the_panel(window: Window) -> None:
    QTest.keySequence(window, "Ctrl+P")
    field = panel_of(window).target.field
    field.setFocus()
    QTest.keyClicks(field, "grand round")
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.text(), field.hasFocus()) == ("operation", False)
    QTest.keySequence(window, "Escape")
    assert not bench_of(window).panels.has_open


def test_the_folder_is_kept_with_the_ticks(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: Opener
) -> None:
    folder = tmp_path / "a talk at the end of a rather long way down"
    folder.mkdir()
    path = controller_of(window).session.path
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(folder))
    QTest.keySequence(window, "Ctrl+P")
    panel_of(window).target.other.click()
    window.close_case()
    opened(path)
    QTest.keySequence(window, "Ctrl+P")
    target = panel_of(window).target
    where = target.where
    assert (target.folder, where.text()) == (folder, str(folder))
    where.grab()
    assert str(folder) in where.toolTip(), "it is cut, and the tip has all of it"
    folder.rmdir()
    window.close_case()
    opened(path)
    QTest.keySequence(window, "Ctrl+P")
    assert panel_of(window).target.folder == path.parent
    assert f"{folder} is not there now" in panel_of(window).target.says
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(path.parent))
    panel_of(window).target.other.click()
    assert window.preferences.publish_folder is None


def test_space_plays_after_the_menu_was_opened_and_left(window: Window, qtbot: QtBot) -> None:
    menu = next(one for one in bench_of(window).findChildren(QToolButton) if one.accessibleName() == "Menu")
    menu.setFocus(Qt.FocusReason.TabFocusReason)
    offered = next(one for one in window.findChildren(QMenu) if one.menuAction() is menu.defaultAction())
    offered.aboutToShow.connect(offered.hide, Qt.ConnectionType.QueuedConnection)
    QTest.keyClick(menu, Qt.Key.Key_Space)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    with qtbot.waitSignal(window.player.playing_changed):
        QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Space)
    assert window.player.is_playing
    window.player.pause()


def test_space_plays_after_coming_back_to_the_window(window: Window, qtbot: QtBot) -> None:
    """Where nothing has the focus, Qt gives it to the first control as soon as the window is active again."""
    QTest.keySequence(window, "Ctrl+F")
    QTest.keyClick(bench_of(window).sheet.field, Qt.Key.Key_Escape)
    elsewhere = QWidget()
    qtbot.addWidget(elsewhere)
    elsewhere.show()
    elsewhere.activateWindow()
    qtbot.waitUntil(elsewhere.isActiveWindow)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    with qtbot.waitSignal(window.player.playing_changed):
        QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Space)
    window.player.pause()


@pytest.mark.parametrize("is_asking", [False, True], ids=["while nothing is asked", "while the question stands"])
def test_told_to_end_it_stops_and_closes_without_asking(
    is_asking: bool, window: Window, writing: Writing, qtbot: QtBot
) -> None:
    """A shutdown gives no time for an answer."""
    begin(window)
    path = controller_of(window).session.path
    if is_asking:
        window.close()
        asked(qtbot)
    window.end()
    assert writing.has_ended.is_set()
    assert window.bench is None
    assert not window.isVisible()
    if is_asking:
        asked(qtbot).reject()  # the program ends with its question on screen; a test goes on
    assert QApplication.activeModalWidget() is None
    with Session.open(path) as session:
        assert len(session.case.tags) == 1


def test_the_question_holds_for_a_case_shown_anew_meanwhile(window: Window, writing: Writing, qtbot: QtBot) -> None:
    begin(window)
    shown, vocabulary = bench_of(window), controller_of(window).case.vocabulary
    shown.relink.carry_to(replace(vocabulary, title={"en": "Carried on"}))
    window.close()
    box = asked(qtbot)
    qtbot.waitUntil(lambda: bench_of(window) is not shown, timeout=20_000)
    assert not writing.has_ended.is_set()
    answer(box, "Stop and close")
    assert writing.has_ended.is_set()
    assert not window.isVisible()
