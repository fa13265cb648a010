"""Save as: the copy becomes the open case, the one before stays as it was, and nothing is ever written over."""

from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, controller_of, seek, tag
from tests.desktop.workspace.test_case_notices import case_of


@pytest.fixture
def tagged(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy from 1001 ms, which is on screen."""
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "c")
    return window


def save_as(window: Window, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **__: (str(path), ""))
    window.activateWindow()
    QTest.keySequence(window, "Ctrl+Shift+S")


def test_the_copy_is_open_at_the_same_frame_and_the_one_before_is_whole(
    tagged: Window, recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    folder = tmp_path / "talk"
    folder.mkdir()
    before = controller_of(tagged).case
    with qtbot.waitSignal(tagged.player.shown, timeout=20_000):
        save_as(tagged, folder / "for-the-talk", monkeypatch)
    qtbot.waitUntil(lambda: clock_ms(tagged) == 1001, timeout=10_000)
    session = controller_of(tagged).session
    assert session.path == (folder / "for-the-talk.case.jsonld").resolve()
    assert session.case.tags == before.tags
    assert session.case.id != before.id, "it is a case of its own now"
    assert bench_of(tagged).notices.texts == [], "its recording was found from the other folder"
    tag(qtbot, tagged, "h")
    with Session.open(case_of(recording)) as old:
        assert (old.case, old.recovered) == (before, 0), "free, saved, and not changed any more"
    assert tagged.preferences.recent_cases[0].path == str(session.path)


@pytest.mark.parametrize("name", ["other.case.jsonld", "model-eye.case.jsonld"])
def test_nothing_is_written_over(
    name: str, tagged: Window, recording: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    recording.with_name("other.case.jsonld").write_text("{}", encoding="utf-8")
    there = {path: path.read_bytes() for path in recording.parent.iterdir() if path.is_file()}
    path = controller_of(tagged).session.path
    save_as(tagged, recording.with_name(name), monkeypatch)
    assert "name another file" in tagged.status.said or "choose another name" in tagged.status.said
    assert controller_of(tagged).session.path == path
    assert all(path.read_bytes() == data for path, data in there.items() if path.exists())
    tag(qtbot, tagged, "Ctrl+Z")


def test_a_case_that_somebody_else_has_open_can_be_copied_and_changed(
    recording: Path, opened: Opener, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    with Session.open(case_of(recording)):
        opened(case_of(recording))
        assert not bench_of(window).state.writable
        with qtbot.waitSignal(window.player.shown, timeout=20_000):
            save_as(window, recording.with_name("mine.case.jsonld"), monkeypatch)
        tag(qtbot, window, "c")


def test_the_window_says_where_the_case_lies(tagged: Window, recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = case_of(recording).resolve()
    assert tagged.windowTitle() == f"Untitled case – {path.name}[*] – Surgical step annotator"
    assert tagged.windowFilePath() == path.as_posix()
    assert str(path) in bench_of(tagged).top.title.toolTip()
    opens: list[str] = []

    def nothing_to_open_it_with(url: QUrl) -> bool:
        opens.append(url.toLocalFile())
        return False

    monkeypatch.setattr(QDesktopServices, "openUrl", nothing_to_open_it_with)
    tagged.commands.actions["show_in_folder"].trigger()
    assert opens == [path.parent.as_posix()]
    assert str(path.parent) in tagged.status.said, "where nothing can show it, at least it is said"
    controller_of(tagged).rename("A [*] B")
    assert tagged.windowTitle().startswith("A [*][*] B – ")
    tagged.close_case()
    assert (tagged.windowTitle(), tagged.windowFilePath()) == ("Surgical step annotator", "")
