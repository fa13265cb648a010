"""Another program changes the open case's file: that is said, nothing is overwritten, and the user decides."""

import json
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.store.session import Session
from tests.desktop.conftest import Opener, Writing
from tests.desktop.driving import answer, bench_of, controller_of, save, seek, tag
from tests.desktop.workspace.test_case_notices import case_of
from tests.desktop.workspace.test_relink import buttons

CHANGED = "Another program has changed the case’s file. Whichever version you keep, the other is saved too."
GONE = "The case’s file is gone: it was deleted, moved or renamed. Your version is complete here."


@pytest.fixture
def overtaken(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """A window on a case with two steps, of which only the first stood in the file that was changed elsewhere."""
    window = opened(recording)
    tag(qtbot, window, "c")
    save(qtbot, window)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "h")
    document = json.loads(case_of(recording).read_bytes())
    document["label"] = "Changed elsewhere"
    case_of(recording).write_text(json.dumps(document), encoding="utf-8")
    save(qtbot, window)
    return window


def come_back(window: Window, qtbot: QtBot) -> None:
    """To the window from another one."""
    other = QWidget()
    other.show()
    other.activateWindow()
    qtbot.waitUntil(lambda: not window.isActiveWindow())
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    other.close()


def what_is_in(path: Path) -> tuple[str, int]:
    with Session.open(path, writable=False) as session:
        return session.case.title, len(session.case.tags)


def copy(recording: Path, whose: str) -> Path:
    return recording.with_name(f"model-eye-{whose}-1.case.jsonld")


def test_it_is_said_without_a_dialog_and_tagging_goes_on(overtaken: Window, recording: Path, qtbot: QtBot) -> None:
    assert bench_of(overtaken).notices.texts == [CHANGED]
    assert buttons(overtaken, "notices") == [
        "Keep my version",
        "Use the version on disk",
        "Save my version as",
    ]
    assert what_is_in(case_of(recording))[0] == "Changed elsewhere"
    seek(qtbot, overtaken, 2002)
    tag(qtbot, overtaken, "s")
    assert len(controller_of(overtaken).case.tags) == 3
    save(qtbot, overtaken)
    assert bench_of(overtaken).notices.texts == [CHANGED]
    overtaken.commands.actions["keep_mine"].trigger()
    assert bench_of(overtaken).notices.texts == []


def test_keeping_mine_keeps_a_copy_of_the_other(overtaken: Window, recording: Path) -> None:
    overtaken.commands.actions["keep_mine"].trigger()
    assert overtaken.status.said == "Saved; the other version is saved as model-eye-other-1.case.jsonld"
    assert not overtaken.commands.actions["keep_mine"].isEnabled()
    assert what_is_in(case_of(recording)) == ("Untitled case", 2)
    assert what_is_in(copy(recording, "other")) == ("Changed elsewhere", 1)


@pytest.mark.parametrize("way", ["use_other", "save_elsewhere"])
def test_what_is_being_written_is_asked_about_before_the_case_is_let_go(
    way: str, overtaken: Window, recording: Path, writing: Writing, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = str(recording.with_name("mine.case.jsonld"))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **__: (name, ""))
    QTest.keySequence(overtaken, "Ctrl+P")
    bench_of(overtaken).publish.write.click()
    overtaken.commands.actions[way].trigger()
    answer(qtbot, overtaken, "Keep publishing")
    assert bench_of(overtaken).publish.is_writing
    assert bench_of(overtaken).notices.texts == [CHANGED]
    tag(qtbot, overtaken, "s")
    overtaken.commands.actions[way].trigger()
    with qtbot.waitSignal(overtaken.player.shown, timeout=20_000):
        answer(qtbot, overtaken, "Stop and close")
    assert writing.has_ended.is_set()
    assert len(controller_of(overtaken).case.tags) == (1 if way == "use_other" else 2)


def test_using_the_other_keeps_a_copy_of_mine(overtaken: Window, recording: Path, qtbot: QtBot) -> None:
    with qtbot.waitSignal(overtaken.player.shown, timeout=20_000):
        overtaken.commands.actions["use_other"].trigger()
    assert (controller_of(overtaken).case.title, len(controller_of(overtaken).case.tags)) == ("Changed elsewhere", 1)
    assert bench_of(overtaken).notices.texts == [
        "Your version of the case is saved as model-eye-mine-1.case.jsonld, beside this one."
    ]
    assert what_is_in(copy(recording, "mine")) == ("Untitled case", 2)
    tag(qtbot, overtaken, "h")


def test_saving_mine_under_another_name_goes_on_with_that(
    overtaken: Window, recording: Path, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "far").mkdir()
    chosen = tmp_path / "far" / "mine"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **_named: (str(chosen), ""))
    with qtbot.waitSignal(overtaken.player.shown, timeout=20_000):
        overtaken.commands.actions["save_elsewhere"].trigger()
    session = controller_of(overtaken).session
    assert session.path == tmp_path / "far" / "mine.case.jsonld"
    assert (session.case.title, len(session.case.tags)) == ("Untitled case", 2)
    assert session.case.recordings[0].path == "../model-eye.mp4"
    assert bench_of(overtaken).notices.texts == []
    assert what_is_in(case_of(recording)) == ("Changed elsewhere", 1)
    assert not [one.name for one in recording.parent.iterdir() if one.name.startswith(".model-eye")]


def test_another_name_never_overwrites(overtaken: Window, recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = recording.read_bytes()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **_named: (str(recording), ""))
    overtaken.commands.actions["save_elsewhere"].trigger()
    assert recording.read_bytes() == before


@pytest.mark.parametrize("answer", ["keep_mine", "use_other"])
def test_the_case_is_not_closed_before_it_is_settled(
    overtaken: Window, recording: Path, qtbot: QtBot, answer: str
) -> None:
    overtaken.close()
    assert overtaken.isVisible()
    assert bench_of(overtaken).notices.texts == [CHANGED]
    if answer == "use_other":
        with qtbot.waitSignal(overtaken.player.shown, timeout=20_000):
            overtaken.commands.actions[answer].trigger()
    else:
        overtaken.commands.actions[answer].trigger()
    assert overtaken.close_case()


def test_who_comes_back_to_the_window_is_told_at_once(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """Before anything is changed: what is on screen is not what is in the file any more. Closing then asks nothing."""
    window = opened(recording)
    tag(qtbot, window, "c")
    save(qtbot, window)
    before = case_of(recording).read_bytes()
    case_of(recording).write_bytes(before.replace(b"Untitled case", b"Changed elsewhere"))
    come_back(window, qtbot)
    assert bench_of(window).notices.texts == [CHANGED]
    case_of(recording).write_bytes(before)
    come_back(window, qtbot)
    assert bench_of(window).notices.texts == []
    case_of(recording).write_bytes(before.replace(b"Untitled case", b"Changed elsewhere"))
    come_back(window, qtbot)
    assert window.close_case()
    assert what_is_in(case_of(recording)) == ("Changed elsewhere", 1)


def test_a_file_that_was_deleted_can_be_saved_again(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    case_of(recording).unlink()
    save(qtbot, window)
    assert bench_of(window).notices.texts == [GONE]
    assert buttons(window, "notices") == ["Keep my version", "Save my version as"]
    assert not window.commands.actions["use_other"].isEnabled()
    assert not window.close_case()
    window.commands.actions["keep_mine"].trigger()
    assert bench_of(window).notices.texts == []
    assert what_is_in(case_of(recording)) == ("Untitled case", 1)


def test_a_folder_that_was_moved_away_leaves_the_way_to_another_name(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    (tmp_path / "work").mkdir()
    moved = recording.rename(tmp_path / "work" / recording.name)
    window = opened(moved)
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    (tmp_path / "work").rename(tmp_path / "elsewhere")
    QTest.keySequence(window, "h")
    assert bench_of(window).notices.texts == [GONE]
    assert controller_of(window).retry.waiting == 1
    assert not window.close_case()
    (tmp_path / "elsewhere").rename(tmp_path / "work")
    save(qtbot, window)
    assert bench_of(window).notices.texts == []
    assert [one.start for one in controller_of(window).case.tags] == [0, 1001]


def test_what_can_neither_be_saved_nor_kept_beside_the_case_is_not_closed_unasked(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    journal = case_of(recording).with_name(f".{case_of(recording).name}.journal")
    journal.unlink()
    journal.mkdir()
    assert not window.close_case()
    (says,) = bench_of(window).notices.texts
    assert says.startswith("Your changes are not saved yet: ")
    assert says.endswith("Closing now would lose them.")
    window.commands.actions["close_without"].trigger()
    assert window.start.isVisible()
    assert "your version is saved as" in window.start.fault.text()
    assert what_is_in(copy(recording, "mine")) == ("Untitled case", 1)
