"""Lines about states: what needs nothing done can be put away, names may be long, and one bad file spoils no other."""

import shutil
from pathlib import Path
from threading import Event

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QProgressBar, QPushButton, QScrollArea, QToolButton
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.notice import Notices
from annotator.desktop.window import Window
from annotator.errors import InvalidFile
from annotator.progress import Progress
from annotator.store.fingerprint import fingerprint
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.cases_of import beside
from annotator.workflow.new_case import new_case
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, picture_number, seek
from tests.desktop.films import film
from tests.desktop.workspace.test_case_notices import case_of


def test_a_line_that_asks_for_nothing_can_be_put_away(tmp_path: Path, opened: Opener) -> None:
    notices = bench_of(opened(film(tmp_path / "mute.mp4", 30, "25"))).notices
    assert notices.isVisible()
    close = next(one for one in notices.findChildren(QToolButton) if one.isVisible())
    assert close.accessibleName() == "Dismiss: This recording has no sound."
    close.click()
    assert notices.texts == []
    assert not notices.isVisible()


def test_space_plays_once_a_line_was_put_away_by_key(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    """The focus goes to the picture, not to the next button."""
    window = opened(film(tmp_path / "mute.mp4", 30, "25"))
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    bench = bench_of(window)
    close = next(one for one in bench.notices.findChildren(QToolButton) if one.isVisible())
    hide = bench.first_steps.findChild(QPushButton)
    assert hide is not None
    for pressed in (close, hide):
        pressed.setFocus(Qt.FocusReason.TabFocusReason)
        QTest.keyClick(pressed, Qt.Key.Key_Space)
        assert not pressed.isVisible()
        assert window.focusWidget() is bench.picture


def test_a_line_that_asks_for_something_stays(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.close_case()
    recording.unlink()
    notices = bench_of(opened(case_of(recording))).notices
    assert not any(one.isVisible() for one in notices.findChildren(QToolButton))


def test_a_long_name_does_not_widen_the_window(recording: Path, opened: Opener) -> None:
    long_name = recording.with_name("x" * 180 + ".mp4")
    recording.rename(long_name)
    window = opened(long_name)
    window.close_case()
    long_name.unlink()
    opened(beside(long_name))
    QApplication.processEvents()
    assert window.width() == 1280
    assert long_name.name in bench_of(window).picture.words
    assert bench_of(window).notices.width() == 1280


def test_a_recording_that_can_not_be_read_leaves_the_others_to_be_seen(
    ntsc: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    first, second = tmp_path / "first.mp4", tmp_path / "second.mp4"
    shutil.copy(ntsc, first)
    film(second, 60, "25")
    path = tmp_path / "two.case.jsonld"
    case = new_case([first, second], find("vitreoretinal"), "Model eye (invented)", path)
    second.write_text("only words", encoding="utf-8")
    damaged = replace(case.recordings[1], fingerprint=fingerprint(second))
    Session.create(path, replace(case, recordings=(case.recordings[0], damaged))).close()
    window = opened(path)
    assert any("second.mp4" in text for text in bench_of(window).notices.texts)
    assert picture_number(window) == 0
    seek(qtbot, window, case.borders[1] + 400)
    assert bench_of(window).picture.words == "second.mp4\ncan't be read. All tags are here."
    seek(qtbot, window, 1001)
    assert picture_number(window) == 30


def test_loading_shows_how_far_it_is_and_can_be_cancelled(window: Window, qtbot: QtBot) -> None:
    pause = Event()

    def job(progress: Progress) -> None:
        while not pause.wait(0.01):
            progress(2, 5)

    window.openings.run(job, "Reading model-eye.mp4")
    bar = window.loading.findChild(QProgressBar)
    assert isinstance(bar, QProgressBar)
    qtbot.waitUntil(lambda: bar.value() == 400)
    assert window.loading.isVisible()
    cancel = next(one for one in window.loading.findChildren(QPushButton) if one.text() == "Cancel")
    cancel.click()
    qtbot.waitUntil(window.start.isVisible)
    assert window.start.fault.text() == ""


def test_the_many_faults_of_a_file_are_scrolled_and_counted(window: Window, qtbot: QtBot) -> None:
    faults = [f"first.items[{number}].created: “day {number}” is not a date" for number in range(10_000)]
    window.start.show_fault(str(InvalidFile("talk.case.jsonld is damaged or not a case", faults)))
    said = window.start.fault
    assert said.text().splitlines()[-1] == "  and 9,950 more"
    scroll = next(one for one in window.start.findChildren(QScrollArea) if one.widget() is said)
    qtbot.waitUntil(lambda: scroll.verticalScrollBar().maximum() > 0, timeout=10_000)
    assert said.height() >= said.heightForWidth(said.width()), "the last line is there to be scrolled to"
    assert window.height() == 720
    window.start.show_fault("")
    assert not scroll.isVisible()


def test_what_a_file_says_is_shown_as_it_is_written(window: Window, qtbot: QtBot) -> None:
    """Qt takes text that looks like HTML for HTML, with pictures from anywhere, unless it is told not to."""
    window.start.show()
    labels = window.findChildren(QLabel)
    assert len(labels) > 20
    said = "<img src='file:///etc/passwd'> <b>bold</b> " * 30
    window.status.say(said, False)
    window.status.show()
    line = next(one for one in labels if one.text() == said)
    qtbot.waitUntil(lambda: bool(line.toolTip()), timeout=10_000)
    assert line.toolTip().startswith("<qt>&lt;img src=")
    taken_for_html = [one for one in labels if one.textFormat() is not Qt.TextFormat.PlainText and one.text()]
    assert taken_for_html == []


def test_many_lines_leave_the_picture_its_room(theme: Theme, qtbot: QtBot) -> None:
    notices = Notices(theme)
    qtbot.addWidget(notices)
    offer = QAction("Find recording…")
    notices.add(Icon.MISSING, "It is not there", [offer])
    for number in range(6):
        notices.add(Icon.NOTE, f"Line {number}")
    notices.resize(800, 400)
    notices.show()

    def seen() -> list[str]:
        return [one.text() for one in notices.findChildren(QLabel) if one.isVisible() and one.text()]

    assert seen() == ["It is not there", "Line 4", "Line 5"]
    assert notices.more.text() == "And 4 more"
    notices.more.click()
    assert len(seen()) == 7
    assert not notices.more.isVisible()
    for _ in range(4):
        next(one for one in notices.findChildren(QToolButton) if one.isVisible()).click()
    assert len(seen()) == 3
    notices.add(Icon.NOTE, "One more")
    assert len(seen()) == 3, "what was shown once is not shown for ever"
