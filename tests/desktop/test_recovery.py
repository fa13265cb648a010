"""A disk that is full while tagging: said, nothing changed, and work goes on once there is space."""

import errno
from pathlib import Path

from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of, seek, tag
from tests.store.failing_disk import FailingDisk


def test_a_full_disk_is_said_and_work_goes_on(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    before = controller_of(window).case
    seek(qtbot, window, 1001)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True) as disk:
        QTest.keySequence(window, "h")
    assert disk.has_failed
    assert controller_of(window).case == before
    assert window.status.said.startswith("Nothing was changed")
    tag(qtbot, window, "h")
    assert [one.start for one in controller_of(window).case.tags] == [0, 1001]
    window.close_case()
    opened(recording)
    assert len(controller_of(window).case.tags) == 2
