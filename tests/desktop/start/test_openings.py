"""Which case is opened, and that nothing is lost, locked or left over on the way."""

import gc
import weakref
from collections.abc import Callable
from pathlib import Path
from threading import Event, current_thread, main_thread

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from pytestqt.qtbot import QtBot

from annotator.bundled import bundled
from annotator.desktop.editing.opening import NewCase, Opened, open_case, open_recordings, sample_folder, start_each
from annotator.desktop.preferences.preferences import VOCABULARY
from annotator.desktop.window import Window
from annotator.desktop.workspace.bench import Bench
from annotator.model.case import Eye
from annotator.model.recording import View
from annotator.model.tag_list import Block
from annotator.progress import Progress
from annotator.store.files import read_bounded
from annotator.store.session import Session
from annotator.workflow.cases_of import beside
from annotator.workflow.sample import create_sample
from tests.desktop.conftest import Opener
from tests.desktop.driving import answer, bench_of, controller_of, question, tag, words_of
from tests.desktop.films import film


def is_free(case: Path) -> bool:
    """Whether nobody has a case open for changing, this process included."""
    with Session.open(case, writable=False) as session:
        return session.holder is None


def cases_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.case.jsonld"))


@pytest.fixture
def other(tmp_path: Path) -> Path:
    """A recording of another content in another folder."""
    folder = tmp_path / "other"
    folder.mkdir()
    return film(folder / "second.mp4", 30, "25")


class Held:
    """A job that opens a case, and waits before it is done until it is let go."""

    def __init__(self, case: Path) -> None:
        self.has_opened, self.goes_on = Event(), Event()
        self._job = open_case(case)

    def __call__(self, progress: Progress) -> Opened:
        opened: Opened = self._job(progress)
        self.has_opened.set()
        self.goes_on.wait(20)
        return opened


def silent(_done: float, _total: float, /) -> None:
    pass


# --- one thing at a time ---------------------------------------------------------------------------------------


def test_the_case_that_is_open_comes_to_the_front_and_nothing_else(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    bench = bench_of(window)
    for path in (beside(recording), recording):
        with qtbot.waitSignal(window.openings.ended, timeout=10_000):
            window.open_paths([path])
        assert window.bench is bench
        assert bench.isVisible()
        assert not bench.controller.session.read_only
        assert len(bench.controller.case.tags) == 1


def test_a_bench_that_was_put_away_is_no_more(recording: Path, other: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    before = weakref.ref(bench_of(window))
    opened(other)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert before() is None
    assert len(window.findChildren(Bench)) == 1
    assert is_free(beside(recording))


def test_opening_another_while_one_loads_leaves_nothing_locked(
    recording: Path, other: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    held = Held(beside(recording))
    window.openings.run(held, "Opening model-eye", [beside(recording)])
    assert held.has_opened.wait(20)
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        window.open_paths([other])
        assert window.loading.isVisible()
        held.goes_on.set()
    assert controller_of(window).session.path == beside(other)
    assert is_free(beside(recording))


def test_a_case_that_was_given_up_can_be_opened_at_once(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.close_case()
    held = Held(beside(recording))
    window.openings.run(held, "Opening model-eye", [beside(recording)])
    assert held.has_opened.wait(20)
    window.loading.cancelled.emit()
    assert window.start.isVisible()
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        window.open_paths([beside(recording)])
        held.goes_on.set()
    assert not controller_of(window).session.read_only


def test_what_is_being_read_and_named_again_is_read_on(recording: Path, window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        for _ in range(3):
            window.open_paths([recording])
            assert window.loading.isVisible()
    assert not controller_of(window).session.read_only
    assert cases_in(recording.parent) == ["model-eye.case.jsonld"]


def test_closing_the_window_while_something_is_opened_leaves_nothing_locked(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.close_case()
    held = Held(beside(recording))
    window.openings.run(held, "Opening model-eye", [beside(recording)])
    assert held.has_opened.wait(20)
    held.goes_on.set()
    window.close()
    assert is_free(beside(recording))


def test_what_can_not_be_opened_leaves_the_open_case_where_it_is(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    words = tmp_path / "words.mp4"
    words.write_text("no recording")
    with qtbot.waitSignal(window.openings.failed, timeout=10_000):
        window.open_paths([words])
    assert bench_of(window).isVisible()
    assert any("words.mp4" in text for text in bench_of(window).notices.texts)
    tag(qtbot, window, "c")


def test_while_something_is_written_of_the_open_case_another_waits(
    recording: Path, other: Path, opened: Opener, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened(recording)
    monkeypatch.setattr(type(bench_of(window).publish), "is_writing", property(lambda _panel: True))
    window.open_paths([other])
    asked = question(qtbot, window)
    assert bench_of(window).isVisible()
    assert controller_of(window).session.path == beside(recording)
    assert is_free(beside(other))
    asked.done(0)
    monkeypatch.undo()


# --- which case it is --------------------------------------------------------------------------------------------


def test_a_case_belongs_to_a_content_not_to_a_name(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    namesake = film(recording.with_suffix(".mkv"), 30, "25")
    opened(namesake)
    assert controller_of(window).session.path.name == "model-eye.mkv.case.jsonld"
    assert controller_of(window).case.tags == ()
    opened(recording)
    assert controller_of(window).session.path == beside(recording)
    opened(namesake)
    assert controller_of(window).session.path.name == "model-eye.mkv.case.jsonld"
    assert len(cases_in(recording.parent)) == 2


def test_a_renamed_recording_has_its_case_still(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    renamed = recording.rename(recording.with_name("operation 7.mp4"))
    opened(renamed)
    assert len(controller_of(window).case.tags) == 1
    assert cases_in(recording.parent) == ["model-eye.case.jsonld"]


def change(recording: Path) -> None:
    with recording.open("ab") as file:
        file.write(bytes(8))


@pytest.mark.parametrize(
    ("says", "name", "tags"), [("Open that case", "model-eye", 1), ("Start a new case", "model-eye.mp4", 0)]
)
def test_a_case_of_a_recording_that_had_the_name_is_asked_about(
    says: str, name: str, tags: int, recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    change(recording)
    window.open_paths([recording])
    assert "another recording with the name" in words_of(question(qtbot, window))
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        answer(qtbot, window, says)
    assert controller_of(window).session.path.name == f"{name}.case.jsonld"
    assert len(controller_of(window).case.tags) == tags


@pytest.mark.parametrize("says", ["Open that case", "Start a new case", "Cancel"])
def test_a_case_with_other_recordings_is_asked_about(
    says: str, recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    second = film(tmp_path / "second.mp4", 30, "25")
    window.open_paths([recording, second])
    assert "holds 1 recording; you selected 2" in words_of(question(qtbot, window))
    answer(qtbot, window, says)
    if says == "Cancel":
        assert window.start.isVisible()
    elif says == "Open that case":
        qtbot.waitUntil(lambda: window.bench is not None, timeout=20_000)
        assert len(controller_of(window).case.recordings) == 1
    else:
        qtbot.waitUntil(window.recordings.use.isEnabled, timeout=20_000)
        with qtbot.waitSignal(window.player.shown, timeout=20_000):
            window.recordings.use.click()
        assert len(controller_of(window).case.recordings) == 2
        assert controller_of(window).session.path.name == "model-eye 2.case.jsonld"


def test_of_two_cases_of_one_recording_the_other_is_named(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.close_case()
    second = beside(recording).with_name("model-eye for the talk.case.jsonld")
    second.write_bytes(beside(recording).read_bytes())
    opened(recording)
    assert controller_of(window).session.path == beside(recording)
    assert any(second.name in text for text in bench_of(window).notices.texts)


def test_the_cases_beside_are_looked_into_once(
    recording: Path, other: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder on a network may hold thousands, and each look into one takes a while there."""
    for number in range(3):
        create_sample(tmp_path / f"sample {number}.case.jsonld").close()
    (tmp_path / "second.mp4").write_bytes(other.read_bytes())
    seen: list[str] = []

    def read(path: Path, most: int) -> bytes:
        seen.append(path.name)
        return read_bounded(path, most)

    monkeypatch.setattr("annotator.workflow.cases_of.read_bounded", read)
    open_recordings([recording], NewCase(VOCABULARY))(silent).session.close()
    assert sorted(seen) == [f"sample {number}.case.jsonld" for number in range(3)]
    seen.clear()
    assert len(start_each([recording, tmp_path / "second.mp4"], NewCase(VOCABULARY))(silent).cases) == 2
    assert sorted(seen) == ["model-eye.case.jsonld", *(f"sample {number}.case.jsonld" for number in range(3))]


def test_a_case_that_was_found_by_its_content_is_not_read_again_by_its_name(
    recording: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_recordings([recording], NewCase(VOCABULARY))(silent).session.close()
    read: list[Path] = []
    monkeypatch.setattr("annotator.desktop.editing.opening.read_case", read.append)
    with open_recordings([recording], NewCase(VOCABULARY))(silent).session as session:
        assert session.path == beside(recording)
    assert not read


def test_a_damaged_case_is_said_and_no_other_is_started(recording: Path, window: Window, qtbot: QtBot) -> None:
    beside(recording).write_text("{")
    with qtbot.waitSignal(window.openings.failed, timeout=10_000) as told:
        window.open_paths([recording])
    assert "damaged" in told.args[0]
    assert cases_in(recording.parent) == ["model-eye.case.jsonld"]


# --- the sample ---------------------------------------------------------------------------------------------------


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Path]:
    """Makes the program find its sample in a folder of that name, as another installation would."""
    here = bundled("sample_media")

    def install(name: str) -> Path:
        folder = tmp_path / name
        folder.mkdir()
        for file in ("model-eye.mp4", "steps.csv"):
            (folder / file).write_bytes((here / file).read_bytes())
        monkeypatch.setattr("annotator.workflow.sample.bundled", lambda _what: folder)
        return folder

    return install


def open_sample(window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=30_000):
        window.openings.open_sample()


def test_the_sample_is_found_where_the_program_is_now(
    installed: Callable[[str], Path], window: Window, qtbot: QtBot
) -> None:
    first = installed("first")
    open_sample(window, qtbot)
    tag(qtbot, window, "c")
    tags = controller_of(window).case.tags
    window.close_case()
    installed("second")
    (first / "model-eye.mp4").unlink()
    open_sample(window, qtbot)
    assert controller_of(window).case.tags == tags
    assert bench_of(window).state.has_picture
    assert bench_of(window).notices.texts == []


def test_a_new_sample_has_a_case_of_its_own_and_the_old_one_stays(
    installed: Callable[[str], Path], window: Window, qtbot: QtBot
) -> None:
    first = installed("first")
    open_sample(window, qtbot)
    window.close_case()
    change(installed("second") / "model-eye.mp4")
    (first / "model-eye.mp4").unlink()
    for _ in range(2):
        open_sample(window, qtbot)
        assert bench_of(window).state.has_picture
        assert controller_of(window).case.tags
        window.close_case()
    assert cases_in(sample_folder()) == ["model-eye 2.case.jsonld", "model-eye.case.jsonld"]
    assert window.preferences.recent_cases == ()


def test_the_second_sample_is_another_case_that_is_kept_beside_the_first(window: Window, qtbot: QtBot) -> None:
    create_sample(sample_folder() / "model-eye.case.jsonld").close()
    for _ in range(2):
        with qtbot.waitSignal(window.player.shown, timeout=30_000):
            window.commands.actions["open_second_sample"].trigger()
        case = controller_of(window).case
        assert (case.kind, case.eye, case.recordings[0].picture) == ("macular", Eye.RIGHT, View.TURNED)
        assert case.tags
        assert bench_of(window).state.has_picture
        window.close_case()
    assert cases_in(sample_folder()) == ["macular-hole.case.jsonld", "model-eye.case.jsonld"]


def test_the_sample_that_is_open_is_not_opened_again(window: Window, qtbot: QtBot) -> None:
    create_sample(sample_folder() / "model-eye.case.jsonld").close()
    open_sample(window, qtbot)
    bench = bench_of(window)
    with qtbot.waitSignal(window.openings.ended, timeout=10_000):
        window.openings.open_sample()
    assert window.bench is bench
    assert not bench.controller.session.read_only


# --- where the work is done ------------------------------------------------------------------------------------


def test_what_is_kept_with_the_tags_is_worked_out_beside_the_window(
    recording: Path, opened: Opener, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """For tens of thousands of tags that takes seconds, in which the window would not answer."""
    window = opened(recording)
    tag(qtbot, window, "c")
    path = controller_of(window).session.path
    window.close_case()
    worked_out: dict[str, set[bool]] = {}
    once = Block.once

    def noted(block: Block, name: str, on: tuple[object, ...], work_out: Callable[[], object]) -> object:
        def work() -> object:
            worked_out.setdefault(name, set()).add(current_thread() is main_thread())
            return work_out()

        return once(block, name, on, work)

    monkeypatch.setattr(Block, "once", noted)
    opened(path)
    assert {"findings", "time so far", "overview", "rows of step", "free phase"} <= worked_out.keys()
    assert set().union(*worked_out.values()) == {False}
