"""What is dropped on the window, or lies beside a recording."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.store.session import Session
from annotator.workflow.cases_of import beside
from tests.desktop.conftest import Opener
from tests.desktop.driving import answer, bench_of, controller_of, question, tag, words_of
from tests.desktop.editing.test_tagging import labels
from tests.desktop.films import film

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
ALL = Qt.DropAction.MoveAction | Qt.DropAction.CopyAction | Qt.DropAction.LinkAction

TABLE = "start,end,step\n0:01,0:02,core vitrectomy\n0:02,0:03,delamination\n"
CAPTIONS = "WEBVTT\n\n00:01.000 --> 00:02.000\nCore vitrectomy\n\n00:02.000 --> 00:03.000\nGood morning\n"
SPOKEN = "WEBVTT\n\n00:01.000 --> 00:02.000\nGood morning, everybody\n"


def dragged(paths: Sequence[Path]) -> QMimeData:
    """Files as another program's window hands them over."""
    what = QMimeData()
    what.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return what


def drop(window: Window, paths: Sequence[Path]) -> tuple[bool, Qt.DropAction]:
    """Drag files over the window and drop them; whether they were taken, and what the source is told."""
    what = dragged(paths)
    place = QPoint(600, 300)
    enters = QDragEnterEvent(place, ALL, what, LEFT, NONE)
    enters.setDropAction(Qt.DropAction.MoveAction)
    enters.ignore()
    QApplication.sendEvent(window, enters)
    moves = QDragMoveEvent(place, ALL, what, LEFT, NONE)
    QApplication.sendEvent(window, moves)
    assert moves.isAccepted() == enters.isAccepted()
    if not enters.isAccepted():
        return False, enters.dropAction()
    assert moves.dropAction() == enters.dropAction() == Qt.DropAction.CopyAction
    drops = QDropEvent(place, ALL, what, LEFT, NONE)
    drops.setDropAction(Qt.DropAction.MoveAction)
    QApplication.sendEvent(window, drops)
    return drops.isAccepted(), drops.dropAction()


def test_a_recording_that_is_dropped_is_copied_never_moved(recording: Path, window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        assert drop(window, [recording]) == (True, Qt.DropAction.CopyAction)
    assert recording.exists()
    assert controller_of(window).session.path == beside(recording)


def test_what_may_only_be_moved_is_not_taken(recording: Path, window: Window) -> None:
    what = dragged([recording])
    enters = QDragEnterEvent(QPoint(600, 300), Qt.DropAction.MoveAction, what, LEFT, NONE)
    QApplication.sendEvent(window, enters)
    assert not enters.isAccepted()


def test_a_file_dropped_on_a_field_is_the_windows(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """Else the field would take it as text, and answer whatever the source proposes: a move."""
    window = opened(recording)
    window.commands.actions["show_publish"].trigger()
    fields = [one for one in window.findChildren(QLineEdit) if one.isVisible()]
    assert len(fields) > 1
    what = dragged([recording])
    what.setText(recording.as_uri())
    for field in (*fields, window.recordings.list.viewport()):
        enters = QDragEnterEvent(QPoint(3, 3), ALL, what, LEFT, Qt.KeyboardModifier.ShiftModifier)
        assert enters.proposedAction() == Qt.DropAction.MoveAction
        enters.ignore()
        QApplication.sendEvent(field, enters)
        assert enters.isAccepted(), field.accessibleName()
        assert enters.dropAction() == Qt.DropAction.CopyAction, field.accessibleName()
        QApplication.sendEvent(field, QDragLeaveEvent())  # or Qt goes on to lead to the field, also once it is gone


def test_what_can_not_be_used_is_not_taken(tmp_path: Path, window: Window) -> None:
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    taken, _ = drop(window, [table])
    assert not taken
    assert window.start.isVisible()


@pytest.mark.parametrize("name", ["notes.docx", "slides.PPTX", "letter.pdf", "photo.jpg", "all.zip", "readme.txt"])
def test_what_is_no_recording_is_refused_before_anything_is_asked(
    name: str, recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    other = tmp_path / name
    other.write_bytes(b"x")
    drop(window, [other])
    assert not any(box.isVisible() for box in window.findChildren(QMessageBox))
    if not name.endswith(".txt"):  # which may be a table
        assert bench_of(window).notices.texts == [
            f"“{name}” is not a recording, a case, a table or captions, and can't be used here."
        ]


def test_beside_recordings_what_is_none_is_left_out(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    drop(window, [tmp_path / "second.mp4", tmp_path / "unknown.xyz", tmp_path / "notes.docx"])
    assert "these 2 files" in words_of(question(qtbot, window))
    assert "notes.docx" in window.status.said
    answer(qtbot, window, "Cancel")


def test_what_is_no_recording_is_named_and_the_recordings_open(
    recording: Path, tmp_path: Path, window: Window, qtbot: QtBot
) -> None:
    """One recording as a case, several as a list; there also what is dropped later."""
    second = film(tmp_path / "second.mp4", 30, "25")
    table = tmp_path / "steps.csv"
    drop(window, [recording, second, tmp_path / "letter.pdf", table])
    qtbot.waitUntil(window.recordings.isVisible, timeout=20_000)
    assert window.recordings.left_out.text() == (
        "“letter.pdf” is not a recording and was left out. "
        "“steps.csv” was left out: to add tags from a file, drop it by itself on the open case."
    )
    assert [one.path for one in window.recordings.list.entries] == [recording, second]
    drop(window, [tmp_path / f"{name}.docx" for name in "abcde"])
    assert window.recordings.left_out.text() == (
        "“a.docx”, “b.docx”, “c.docx” and 2 more are not recordings and were left out."
    )
    qtbot.waitUntil(window.recordings.use.isEnabled, timeout=20_000)
    window.recordings.cancel.click()
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        drop(window, [recording, tmp_path / "letter.pdf", tmp_path / "notes.docx"])
    assert "“letter.pdf” and “notes.docx” are not recordings and were left out." in bench_of(window).notices.texts


@pytest.mark.parametrize(
    ("made", "said"), [(("a", "b"), "these 2 folders"), (("a", "c.mp4"), "these 2 files and folders")]
)
def test_files_are_called_files_and_folders_folders(
    made: tuple[str, str], said: str, recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
    drop(window, [tmp_path / name for name in made])
    assert said in words_of(question(qtbot, window))
    answer(qtbot, window, "Cancel")


def test_a_table_that_is_dropped_offers_its_tags_and_closes_nothing(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "1")
    bench = bench_of(window)
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    assert drop(window, [table]) == (True, Qt.DropAction.CopyAction)
    assert "Add 2 tags from “steps.csv”" in words_of(question(qtbot, window))
    with qtbot.waitSignal(controller_of(window).changed):
        answer(qtbot, window, "Add 2 tags")
    assert window.bench is bench
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == [
        "bleeding",
        "core-vitrectomy",
        "delamination",
    ]
    controller_of(window).undo()
    assert len(controller_of(window).case.tags) == 1


def test_a_table_that_is_thought_better_of_adds_nothing(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    drop(window, [table])
    answer(qtbot, window, "Cancel")
    assert controller_of(window).case.tags == ()


def test_what_of_a_file_names_no_step_is_said(recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    captions = tmp_path / "chapters.vtt"
    captions.write_text(CAPTIONS)
    drop(window, [captions])
    assert "Good morning" in words_of(question(qtbot, window))
    with qtbot.waitSignal(controller_of(window).changed):
        answer(qtbot, window, "Add 1 tag")
    assert any("Good morning" in text for text in bench_of(window).notices.texts)
    captions.write_text(SPOKEN)
    drop(window, [captions])
    qtbot.waitUntil(lambda: any("contains no tag" in text for text in bench_of(window).notices.texts))


def test_a_file_that_is_damaged_is_said(recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_bytes(b"\xff\x00\xff")
    drop(window, [table])
    qtbot.waitUntil(lambda: any("steps.csv" in text for text in bench_of(window).notices.texts))
    assert controller_of(window).case.tags == ()


def test_a_case_to_look_at_takes_no_table(recording: Path, tmp_path: Path, opened: Opener, window: Window) -> None:
    opened(recording)
    window.close_case()
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    with Session.open(beside(recording)):
        opened(beside(recording))
        taken, _ = drop(window, [table])
        assert not taken
        window.close_case()


@pytest.mark.parametrize("says", ["Open it", "Add to this case", "Cancel"])
def test_a_recording_dropped_on_an_open_case_is_asked_about(
    says: str, recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    second = film(tmp_path / "second.mp4", 30, "25")
    drop(window, [second])
    if says == "Cancel":
        answer(qtbot, window, says)
        assert len(controller_of(window).case.tags) == 1
    elif says == "Open it":
        with qtbot.waitSignal(window.player.shown, timeout=20_000):
            answer(qtbot, window, says)
        assert controller_of(window).session.path == beside(second)
    else:
        answer(qtbot, window, says)
        qtbot.waitUntil(window.recordings.use.isEnabled, timeout=20_000)
        with qtbot.waitSignal(window.player.shown, timeout=20_000):
            window.recordings.use.click()
        assert [one.path for one in controller_of(window).case.recordings] == ["model-eye.mp4", "second.mp4"]
        assert len(controller_of(window).case.tags) == 1


def test_a_folder_opens_as_a_list_of_its_recordings(recording: Path, window: Window, qtbot: QtBot) -> None:
    for number in (10, 2):
        film(recording.with_name(f"part {number}.mp4"), 10 + number, "25")
    (recording.parent / "notes.txt").touch()
    drop(window, [recording.parent])
    qtbot.waitUntil(window.recordings.isVisible, timeout=20_000)
    assert [one.path.name for one in window.recordings.list.entries] == ["model-eye.mp4", "part 2.mp4", "part 10.mp4"]


def test_captions_beside_a_recording_are_offered_when_it_is_opened(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    recording.with_suffix(".vtt").write_text(CAPTIONS)
    recording.with_suffix(".srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nGood morning\n")
    window = opened(recording)
    notices = bench_of(window).notices
    assert [text for text in notices.texts if "beside" in text] == [
        "“model-eye.vtt” is beside the recording and contains 1 tag that can be added."
    ]
    adds = next(one for one in notices.findChildren(QPushButton) if one.text() == "Add its tags")
    with qtbot.waitSignal(controller_of(window).changed):
        adds.click()
    assert labels(controller_of(window).case) == [("core-vitrectomy", 1001, 2002)]
    assert not any("beside" in text for text in notices.texts)
    window.close_case()
    opened(recording)
    assert not any("beside" in text for text in bench_of(window).notices.texts)


def test_captions_beside_a_later_recording_count_from_its_start(
    ntsc: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    first, second = tmp_path / "part 1.mp4", film(tmp_path / "part 2.mp4", 100, "25")
    first.write_bytes(ntsc.read_bytes())
    second.with_suffix(".vtt").write_text(CAPTIONS)
    window = opened(first, second)
    adds = next(one for one in bench_of(window).notices.findChildren(QPushButton) if one.text() == "Add its tags")
    with qtbot.waitSignal(controller_of(window).changed):
        adds.click()
    border = controller_of(window).case.borders[1]
    assert labels(controller_of(window).case) == [("core-vitrectomy", border + 1000, border + 2000)]


def test_a_table_that_is_dropped_again_adds_nothing(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    drop(window, [table])
    with qtbot.waitSignal(controller_of(window).changed):
        answer(qtbot, window, "Add 2 tags")
    drop(window, [table])
    says = "“steps.csv” contains no tag that is new to this case. 2 of 2 tags are in the case already; left unchanged."
    qtbot.waitUntil(lambda: says in bench_of(window).notices.texts)
    assert len(controller_of(window).case.tags) == 2


def test_a_table_of_steps_that_may_mean_several_things_says_that_none_can_be_added(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_text("start,end,step\n0:00.5,0:01,peeling\n")
    drop(window, [table])
    qtbot.waitUntil(lambda: any("steps.csv" in one for one in bench_of(window).notices.texts))
    says = next(one for one in bench_of(window).notices.texts if "steps.csv" in one)
    assert says.startswith("“steps.csv” contains no tag that can be added. Left out: row 2: ")
    assert says.endswith("?")


def test_a_table_that_is_asked_about_twice_is_added_once(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    drop(window, [table, table])
    with qtbot.waitSignal(controller_of(window).changed):
        answer(qtbot, window, "Add 2 tags")
    answer(qtbot, window, "Add 2 tags")
    says = "The tags of “steps.csv” are in this case already."
    qtbot.waitUntil(lambda: says in bench_of(window).notices.texts)
    assert len(controller_of(window).case.tags) == 2


@pytest.mark.parametrize("table", ["start,end,step," + ",".join(f"c{number}" for number in range(999)), None])
def test_of_many_faults_a_few_are_said_and_the_others_counted(
    table: str | None, recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    """Of the first line of a table, which then is none, or of its rows."""
    window = opened(recording)
    path = tmp_path / "steps.csv"
    path.write_text(table or "start,end,step\n" + "0:01,0:02,unheard of\n" * 999)
    drop(window, [path])
    more = "and 994 more" if table else "and 993 more"
    qtbot.waitUntil(lambda: any(more in text for text in bench_of(window).notices.texts))
    assert bench_of(window).notices.height() < window.height() / 3


def test_of_several_cases_one_is_opened_and_the_others_are_at_hand(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    cases = [beside(recording), tmp_path / "b.case.jsonld", tmp_path / "c.case.jsonld"]
    for case in cases[1:]:
        case.write_bytes(cases[0].read_bytes())
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        drop(window, [*cases, recording])
    assert controller_of(window).session.path == cases[0]
    assert any("The others are on the start screen" in text for text in bench_of(window).notices.texts)
    assert [Path(one.path) for one in window.preferences.recent_cases] == cases


def test_tables_dropped_with_recordings_are_not_left_out_unsaid(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    table = tmp_path / "steps.csv"
    table.write_text(TABLE)
    drop(window, [table, film(tmp_path / "second.mp4", 30, "25")])
    answer(qtbot, window, "Cancel")
    says = "“steps.csv” was left out: to add tags from a file, drop it by itself on the open case."
    assert window.status.said == says


def test_a_fault_of_many_lines_is_one_line_in_the_foot(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    words = tmp_path / "notes.txt"
    words.write_text("x")
    drop(window, [words])
    qtbot.waitUntil(lambda: window.status.said.startswith("Reading notes.txt"))
    assert window.status.said.startswith("Reading notes.txt: the first line must name the columns")
    assert "\n" not in window.status.said


def test_a_question_shows_a_long_name_whole(recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    drop(window, [tmp_path / f"{'recorder_' * 20}.mp4"])
    box = question(qtbot, window)
    words = box.findChild(QLabel, "qt_msgbox_label")
    assert isinstance(words, QLabel)
    names = words.fontMetrics().boundingRect(words.contentsRect(), Qt.TextFlag.TextWordWrap, words.text())
    assert names.width() <= words.width()
    assert box.width() <= window.width() / 2
    answer(qtbot, window, "Cancel")
