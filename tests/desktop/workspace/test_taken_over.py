"""A case that another process has open: said by whom, looked at, and taken over once the other has closed it."""

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, picture_number, seek, tag
from tests.desktop.workspace.test_case_notices import case_of
from tests.desktop.workspace.test_relink import buttons

OTHER = """
import sys
from pathlib import Path
from annotator.model import edits
from annotator.store.session import Session

with Session.open(Path(sys.argv[1])) as session:
    session.do(lambda case: edits.rename(case, "Named by the other"))
    print("open", flush=True)
    sys.stdin.read()
"""


def test_it_is_said_who_has_the_case_and_it_is_taken_over_once_it_is_free(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    case = case_of(recording)
    command = [sys.executable, "-c", OTHER, str(case)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "open\n"
        opened(case)
        seek(qtbot, window, 1001)
        said = bench_of(window).notices.texts
        assert len(said) == 1
        assert f"process {other.pid}: you can look and publish, but not edit." in said[0]
        assert " since 2" in said[0]
        assert buttons(window, "notices") == ["Try editing again"]
        QTest.keySequence(window, "h")
        assert len(controller_of(window).case.tags) == 1
        window.commands.actions["try_to_change"].trigger()
        qtbot.waitUntil(lambda: window.status.said.startswith("Still open elsewhere, by "), timeout=10_000)
        assert controller_of(window).session.read_only
        other.communicate()
    with qtbot.waitSignal(window.player.shown, timeout=10_000):
        window.commands.actions["try_to_change"].trigger()
        qtbot.waitUntil(lambda: not controller_of(window).session.read_only, timeout=10_000)
    assert bench_of(window).notices.texts == []
    assert controller_of(window).case.title == "Named by the other"
    assert not window.commands.actions["try_to_change"].isEnabled()
    qtbot.waitUntil(lambda: picture_number(window) == 30)
    tag(qtbot, window, "h")
    assert [one.start for one in controller_of(window).case.tags] == [0, 1001]
    window.close_case()
    with Session.open(case) as session:
        assert len(session.case.tags) == 2


def test_a_window_that_was_only_looking_leaves_the_case_to_the_other(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    with Session.open(case_of(recording)):
        opened(case_of(recording))
        bench_of(window).relink.try_to_change()
        window.close_case()
    with Session.open(case_of(recording)) as session:
        assert not session.read_only


@pytest.mark.skipif(sys.platform == "win32", reason="a folder in the lock's place looks like a lock that is held there")
def test_a_case_that_can_not_be_changed_here_says_why_and_is_tried_again(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    case = case_of(recording)
    in_the_way = case.with_name(f".{case.name}.lock")
    in_the_way.mkdir()
    opened(case)
    (said,) = bench_of(window).notices.texts
    assert "can't be changed here: " in said
    assert said.endswith(". You can look and publish.")
    in_the_way.rmdir()
    window.commands.actions["try_to_change"].trigger()
    qtbot.waitUntil(lambda: not controller_of(window).session.read_only, timeout=10_000)
    assert bench_of(window).notices.texts == []


def test_a_moved_recording_is_shown_where_its_new_place_can_not_be_kept(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.close_case()
    recording.rename(recording.with_name("renamed.mp4"))
    with Session.open(case_of(recording)) as held:
        opened(case_of(recording))
        assert "The recording “renamed.mp4” was found in another place." in bench_of(window).notices.texts
        assert picture_number(window) == 0
        window.close_case()
        assert held.case.recordings[0].path == "model-eye.mp4"
