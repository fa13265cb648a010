"""Help in the window: the documents that come with the program, the keys, versions and licences; no network."""

import re
import tomllib
from pathlib import Path
from platform import python_version

import pytest
from PySide6.QtCore import QUrl, qVersion
from PySide6.QtGui import QDesktopServices
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.help import subjects
from annotator.desktop.help.page import Subject
from annotator.desktop.settings.key_list import KeyRow
from annotator.desktop.theme.app_icon import SIZES
from annotator.desktop.window import Window
from annotator.workflow.own_folders import log_file
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of

ROOT = Path(__file__).resolve().parents[3]
FOR_CONTRIBUTORS = {"architecture.md"}


def test_f1_opens_the_guide_and_escape_goes_back_to_the_case(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.activateWindow()
    QTest.keySequence(window, "F1")
    heading = (ROOT / "docs" / "guide.md").read_text(encoding="utf-8").splitlines()[0].removeprefix("# ")
    assert window.help.isVisible()
    assert window.help.text.toPlainText().startswith(heading)
    assert not window.commands.actions["end_running"].isEnabled(), "what is not seen is not changed by a key"
    QTest.keySequence(window.help, "Escape")
    assert bench_of(window).isVisible()


@pytest.mark.parametrize("subject", Subject)
def test_there_is_something_to_read_of_each_subject(subject: Subject, window: Window) -> None:
    window.help.open(subject)
    said = window.help.text.toPlainText()
    assert len(said) > 200
    assert "not installed" not in said
    assert "![" not in said


def test_about_names_versions_and_licences_hold_the_texts(window: Window) -> None:
    window.commands.actions["show_about"].trigger()
    said = window.help.text.toPlainText()
    for version in (python_version(), qVersion(), "PyAV", "FFmpeg that writes: ffmpeg", "Apache License 2.0"):
        assert version in said
    window.commands.actions["show_licences"].trigger()
    said = window.help.text.toPlainText()
    for name in ("Apache License", "PySide6", "qtawesome: LICENSE", "av: LICENSE"):
        assert name in said


def test_keys_are_as_the_user_has_them_and_names_from_a_vocabulary_are_text(window: Window) -> None:
    window.preferences.keys = {"undo": ("F19",)}
    window.commands.use_changed_keys(window.preferences.keys)
    window.commands.actions["show_keys"].trigger()
    assert "F19" in window.help.text.toPlainText()
    assert "&lt;b&gt;" in subjects.keys_page([KeyRow("G", "G"), KeyRow("G", "<b>", "name", ("A",))])


def test_links_between_the_pages_stay_in_the_window(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    opens: list[QUrl] = []
    monkeypatch.setattr(QDesktopServices, "openUrl", opens.append)
    window.show()
    window.commands.actions["show_guide"].trigger()
    window.help.text.anchorClicked.emit(QUrl("window.md#messages"))
    assert window.help.list.currentItem().text() == "The window"
    assert window.help.text.verticalScrollBar().value() > 0
    window.help.text.anchorClicked.emit(QUrl("keys.html"))
    assert window.help.list.currentItem().text() == "Keyboard shortcuts"
    window.help.text.anchorClicked.emit(QUrl("vocabularies.md"))
    assert window.help.text.toPlainText().startswith("Vocabularies")
    window.help.text.anchorClicked.emit(QUrl("../../secret.md"))
    assert "not installed here" in window.help.text.toPlainText()
    window.help.text.anchorClicked.emit(QUrl("file:///etc/passwd"))
    assert opens == []


def test_every_page_that_another_one_leads_to_travels_with_the_program() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    carried = {Path(one).name for one in settings["tool"]["hatch"]["build"]["targets"]["wheel"]["only-include"]}
    written = {path.name for path in (ROOT / "docs").glob("*.md")} - FOR_CONTRIBUTORS
    assert written <= carried
    for name in written:
        links = re.findall(r"\]\(([\w-]+\.md)", (ROOT / "docs" / name).read_text(encoding="utf-8"))
        assert set(links) <= carried | FOR_CONTRIBUTORS, name


def test_the_log_s_folder_is_shown_or_said(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda _url: False)
    window.commands.actions["show_log"].trigger()
    assert str(log_file().parent) in window.status.said


def test_settings_and_help_over_one_another_lead_back(window: Window) -> None:
    for does in ("show_settings", "show_guide", "show_settings"):
        window.commands.actions[does].trigger()
    window.settings.page.closed.emit()
    assert window.start.isVisible()


def test_the_program_has_an_icon_at_all_sizes_and_a_name(window: Window, qapp: QApplication) -> None:
    icon = qapp.windowIcon()
    assert sorted(size.width() for size in icon.availableSizes()) == list(SIZES)
    for size in SIZES:
        image = icon.pixmap(size, size).toImage()
        colours = {image.pixelColor(x, y).name() for x in range(size) for y in range(size)}
        assert len(colours) > 8, "it is drawn"
    assert qapp.applicationDisplayName() == "Surgical step annotator"
