"""Another person's tags beside those of the open case: figures, the way to each disagreement, taking a side."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.comparison.panel import ComparisonPanel
from annotator.desktop.window import Window
from annotator.formats.case import casefile
from annotator.model.case import Case, with_tags
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, seek, tag


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy from the first second to the third, and gas from there on to the fourth."""
    opened(recording)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    seek(qtbot, window, 1_000)
    tag(qtbot, window, "c")
    seek(qtbot, window, 3_000)
    tag(qtbot, window, "g")
    seek(qtbot, window, 4_000)
    window.commands.actions["end_running"].trigger()
    return window


def other_case(window: Window, later: int) -> Path:
    """The same tags by somebody else, the boundary between them `later` ms, in a file beside the case."""
    session = controller_of(window).session
    first, second = session.case.tags
    assert first.end is not None
    moved = [replace(first, end=first.end + later), replace(second, start=second.start + later)]
    path = session.path.with_name("mentor.case.jsonld")
    path.write_bytes(casefile.dumps(replace(with_tags(session.case, moved), id="urn:test:mentor"), 1))
    return path


def compared(qtbot: QtBot, window: Window, other: Path) -> ComparisonPanel:
    window.commands.actions["show_comparison"].trigger()
    panel = bench_of(window).comparison
    with qtbot.waitSignal(panel.refreshed):
        panel.open_other(other)
    return panel


def steps(case: Case) -> list[tuple[int, int | None]]:
    return [(one.start, one.end) for one in case.tags]


def test_where_they_differ_is_listed_and_led_to(window: Window, qtbot: QtBot) -> None:
    before = controller_of(window).case
    panel = compared(qtbot, window, other_case(window, 400))
    assert [[cell.text for cell in line.cells] for line in panel.table.lines()] == [
        ["0:03", "Gas", "Core vitrectomy", "<0:01"]
    ]
    assert panel.figures.text().startswith("kappa 0.")
    with qtbot.waitSignal(window.player.shown):
        panel.next.click()
    assert window.player.at == before.tags[1].start


def test_the_other_side_is_taken_and_that_can_be_undone(window: Window, qtbot: QtBot) -> None:
    before = steps(controller_of(window).case)
    panel = compared(qtbot, window, other_case(window, 400))
    panel.table.selectRow(0)
    with qtbot.waitSignal(panel.refreshed):
        panel.keep.click()
    assert steps(controller_of(window).case) == [(before[0][0], before[1][0] + 400), (before[1][0] + 400, before[1][1])]
    assert panel.table.lines() == []
    assert panel.figures.text().startswith("kappa 1.00")
    with qtbot.waitSignal(panel.refreshed):
        window.commands.actions["undo"].trigger()
    assert steps(controller_of(window).case) == before
    assert len(panel.table.lines()) == 1


def test_both_rows_and_some_disagreements_keep_their_height_in_a_low_window(window: Window, qtbot: QtBot) -> None:
    window.resize(960, 500)
    panel = compared(qtbot, window, other_case(window, 400))
    qtbot.waitUntil(lambda: panel.rows.height() == panel.rows.sizeHint().height())
    qtbot.waitUntil(lambda: panel.table.viewport().height() >= 3 * panel.table.rowHeight(0))


def test_a_case_of_another_recording_is_refused_in_a_sentence(window: Window, qtbot: QtBot) -> None:
    path = other_case(window, 400)
    strange, _ = casefile.loads(path.read_bytes())
    recordings = tuple(replace(one, fingerprint="sha256:" + 64 * "0") for one in strange.recordings)
    path.write_bytes(casefile.dumps(replace(strange, recordings=recordings), 2))
    panel = compared(qtbot, window, path)
    assert "not about the same recording" in panel.says.text()
    assert panel.table.isHidden()
    path.write_text("{")
    with qtbot.waitSignal(panel.refreshed):
        panel.open_other(path)
    assert path.name in panel.says.text()


def test_escape_brings_the_tag_list_back(window: Window, qtbot: QtBot) -> None:
    panel = compared(qtbot, window, other_case(window, 0))
    assert panel.isVisible()
    assert not panel.next.isEnabled()
    move(qtbot, window, "Home")
    QTest.keyClick(bench_of(window).picture, Qt.Key.Key_Escape)
    assert not panel.isVisible()
