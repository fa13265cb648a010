"""A recording that is missing, has moved or has changed: found again, or stood in for, without closing the case."""

import json
import shutil
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.tasks.task import Task
from annotator.desktop.window import Window
from annotator.store.fingerprint import fingerprint
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, picture_number, save, seek, tag
from tests.desktop.films import film
from tests.desktop.workspace.test_case_notices import case_of


@pytest.fixture
def without(recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> tuple[Window, Path]:
    """A window on a case with two tags whose recording lies, under another name, in a folder far off."""
    window = opened(recording)
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    tag(qtbot, window, "h")
    window.close_case()
    work, far = tmp_path / "work", tmp_path / "far" / "2026" / "a"
    work.mkdir()
    far.mkdir(parents=True)
    for number in range(3):
        (far / f"other-{number}.mp4").write_bytes(bytes(number))
    shutil.move(case_of(recording), work)
    shutil.move(recording, far / "renamed.mp4")
    return opened(work / case_of(recording).name), far / "renamed.mp4"


def forget_content(case_path: Path, kept: str) -> None:
    """As in a case that another program wrote: what was in the recording's file is not said, or not as we know it."""
    document = json.loads(case_path.read_bytes())
    document["recordings"][0]["fingerprint"] = kept
    case_path.write_text(json.dumps(document), encoding="utf-8")


def buttons(window: Window, inside: str) -> list[str]:
    """The words on the buttons in sight in the notices or on the picture."""
    found = getattr(bench_of(window), inside).findChildren(QPushButton)
    return [one.text() for one in found if one.isVisible()]


def read_again(qtbot: QtBot, window: Window, *, shows: bool = True) -> None:
    """Wait until the window shows the recordings as they were looked at anew."""

    def is_there() -> bool:
        picture = bench_of(window).picture
        return not picture.image.isNull() if shows else bool(picture.words)

    qtbot.waitUntil(is_there, timeout=10_000)


def test_the_folder_is_searched_and_the_picture_comes_while_the_case_stays_open(
    without: tuple[Window, Path], qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, recording = without
    expected = ["Find recording", "Select the recording’s file"]
    assert buttons(window, "notices") == buttons(window, "picture") == expected
    session, tags = controller_of(window).session, controller_of(window).case.tags
    seek(qtbot, window, 1001)
    far = recording.parents[2]
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(far))
    window.commands.actions["find_recording"].trigger()
    read_again(qtbot, window)
    assert controller_of(window).session is session
    assert controller_of(window).case.tags == tags
    assert window.status.said == "recording 1 is now ../far/2026/a/renamed.mp4"
    assert bench_of(window).notices.texts == []
    assert not window.commands.actions["find_recording"].isEnabled()
    qtbot.waitUntil(lambda: picture_number(window) == 30)
    tag(qtbot, window, "Ctrl+Z")
    read_again(qtbot, window, shows=False)
    assert controller_of(window).case.tags == tags
    tag(qtbot, window, "Ctrl+Y")
    read_again(qtbot, window)
    window.close_case()
    with Session.open(session.path) as again:
        assert again.case.recordings[0].path == "../far/2026/a/renamed.mp4"


def test_a_search_that_finds_nothing_says_where_it_looked(without: tuple[Window, Path], qtbot: QtBot) -> None:
    window, recording = without
    empty = recording.parents[2] / "empty"
    empty.mkdir()
    (empty / "one.txt").write_text("not it", encoding="utf-8")
    bench_of(window).relink.look_in(empty)
    notices = bench_of(window).notices
    qtbot.waitUntil(lambda: any("neither in “empty”" in text for text in notices.texts))
    # What lies there, and beside the case: the case, its lock and who holds it.
    assert "among 4 files and folders" in notices.texts[0]
    assert len(notices.texts) == 1
    expected = ["Find recording", "Select the recording’s file"]
    qtbot.waitUntil(lambda: buttons(window, "notices") == expected)


def test_a_search_can_be_stopped(without: tuple[Window, Path], qtbot: QtBot) -> None:
    window, recording = without
    tasks: list[Task] = []

    def stop(task: Task, _what: str) -> None:
        tasks.append(task)
        task.cancel()

    bench_of(window).relink.began.connect(stop)
    bench_of(window).relink.look_in(recording.parents[2])
    with qtbot.waitSignal(tasks[0].cancelled):
        pass
    assert controller_of(window).case.recordings[0].path == "model-eye.mp4"


def test_the_file_itself_can_be_chosen(
    without: tuple[Window, Path], qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, recording = without
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(recording), ""))
    window.commands.actions["choose_recording"].trigger()
    read_again(qtbot, window)
    assert bench_of(window).notices.texts == []


def test_a_converted_copy_stands_in_and_that_is_said(
    without: tuple[Window, Path], tmp_path: Path, qtbot: QtBot
) -> None:
    window, _ = without
    tags = controller_of(window).case.tags
    small = film(tmp_path / "small.mp4", 150, "30000/1001", "-crf", "40", sound=True)
    bench_of(window).relink.use(small)
    read_again(qtbot, window)
    assert any("small.mp4 stands in for model-eye.mp4" in text for text in bench_of(window).notices.texts)
    assert controller_of(window).case.tags == tags
    seek(qtbot, window, 1001)
    assert picture_number(window) == 30


def test_a_file_of_another_length_is_refused(without: tuple[Window, Path], tmp_path: Path, qtbot: QtBot) -> None:
    window, _ = without
    before = controller_of(window).case
    bench_of(window).relink.use(film(tmp_path / "cut.mp4", 60, "30000/1001"))
    qtbot.waitUntil(lambda: "would not fit" in window.status.said)
    assert "cut.mp4 lasts 0:02, but what was tagged 0:05" in window.status.said
    assert controller_of(window).case == before
    (tmp_path / "words.mp4").write_text("words", encoding="utf-8")
    bench_of(window).relink.use(tmp_path / "words.mp4")
    qtbot.waitUntil(lambda: "words.mp4" in window.status.said)
    assert controller_of(window).case == before


def test_a_moved_recording_is_found_beside_the_case_and_its_place_is_kept(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    shutil.move(recording, tmp_path / "renamed.mp4")
    opened(case_of(recording))
    assert "The recording “renamed.mp4” was found in another place; the case has its new place now." in (
        bench_of(window).notices.texts
    )
    with Session.open(case_of(recording), writable=False) as session:
        assert session.case.recordings[0].path == "renamed.mp4"
        assert session.recovered == 0
    window.close_case()
    opened(case_of(recording))
    assert bench_of(window).notices.texts == []


@pytest.fixture
def changed(recording: Path, opened: Opener, qtbot: QtBot) -> tuple[Window, Path]:
    """A window on a case with a tag whose recording was encoded anew in its place."""
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    film(recording, 150, "30000/1001", "-crf", "40", sound=True)
    return opened(case_of(recording)), recording


def test_a_changed_recording_is_said_and_the_tags_survive(changed: tuple[Window, Path], qtbot: QtBot) -> None:
    window, recording = changed
    assert any("has changed since it was tagged" in text for text in bench_of(window).notices.texts)
    assert "is not the file that was tagged" in bench_of(window).picture.words
    assert buttons(window, "picture") == ["Find recording", "Use this recording"]
    tags = controller_of(window).case.tags
    assert len(tags) == 1
    save(qtbot, window)
    window.close_case()
    with Session.open(case_of(recording)) as session:
        assert session.case.tags == tags


def test_a_changed_recording_can_be_used_as_it_is(changed: tuple[Window, Path], qtbot: QtBot) -> None:
    window, recording = changed
    tags = controller_of(window).case.tags
    window.commands.actions["use_doubtful"].trigger()
    read_again(qtbot, window)
    assert controller_of(window).case.tags == tags
    assert any("stands in" in text for text in bench_of(window).notices.texts)
    window.close_case()
    window.open_paths([case_of(recording)])
    qtbot.waitUntil(lambda: window.bench is not None, timeout=10_000)
    read_again(qtbot, window)
    assert bench_of(window).notices.texts == []


@pytest.mark.parametrize("kept", ["", "some-later-scheme:5:abc"])
def test_a_recording_of_unknown_content_is_shown_said_and_taken_when_the_user_says_so(
    recording: Path, opened: Opener, qtbot: QtBot, kept: str
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    forget_content(case_of(recording), kept)
    opened(case_of(recording))
    notices = bench_of(window).notices
    assert notices.texts == [
        "The recording “model-eye.mp4” may not be what was tagged: the case does not say what is in its file. If the "
        "tags match the picture, use this one."
    ]
    assert buttons(window, "notices") == ["Use this recording"]
    assert picture_number(window) == 0
    window.commands.actions["use_doubtful"].trigger()
    qtbot.waitUntil(lambda: bench_of(window).notices.texts == [], timeout=10_000)
    assert controller_of(window).case.recordings[0].fingerprint == fingerprint(recording)
    assert not window.commands.actions["use_doubtful"].isEnabled()


def test_another_file_in_place_of_one_of_unknown_content_is_not_shown(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    """Of another length: that much the case does say."""
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    forget_content(case_of(recording), "")
    film(recording, 30, "30000/1001")
    opened(case_of(recording))
    assert any("has changed since it was tagged" in text for text in bench_of(window).notices.texts)
    assert "is not the file that was tagged" in bench_of(window).picture.words
