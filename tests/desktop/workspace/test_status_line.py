"""The bottom line: a warning stays until the user goes on with something else."""

from pathlib import Path

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.focus import FocusWatch
from annotator.desktop.workspace.status_line import StatusLine
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of, tag


def test_a_warning_is_over_once_something_else_is_done(theme: Theme, qtbot: QtBot) -> None:
    line = StatusLine(theme)
    qtbot.addWidget(line)
    line.say("Nothing to loop", warns=True)
    line.go_on()
    assert line.said == "Nothing to loop", "what comes with the same action does not end it"
    QApplication.processEvents()
    line.go_on()
    assert line.said == ""
    line.say("Saved", warns=False)
    QApplication.processEvents()
    line.go_on()
    assert line.said == "Saved"


def test_a_field_is_called_by_its_name_if_it_has_one(theme: Theme, qapp: QApplication, qtbot: QtBot) -> None:
    field, line = QLineEdit(), StatusLine(theme)
    qtbot.addWidget(field)
    qtbot.addWidget(line)
    watch = FocusWatch(qapp, field)
    watch.changed.connect(lambda typing, taken_by, _needed: line.show_typing(typing, taken_by))
    field.show()
    for name, says in (("", "Typing in a field: "), ("Note", "Typing in “Note”: ")):
        field.setAccessibleName(name)
        qapp.focusChanged.emit(None, field)
        assert any(one.text().startswith(says) for one in line.findChildren(QLabel)), says


def test_selecting_a_tag_ends_the_warning_that_there_was_none(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    controller = controller_of(window)
    tag(qtbot, window, "c")
    controller.select(None)
    QTest.keySequence(window, "Ctrl+Z")
    assert window.status.said == "Undone: Core vitrectomy begins at 00:00:00.000"
    controller.redo()
    controller.select(None)
    controller.said.emit("Nothing to loop: select a tag, or go to a step", True)
    QApplication.processEvents()
    controller.select(controller.case.tags[0].id)
    assert window.status.said == ""
