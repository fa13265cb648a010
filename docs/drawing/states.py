"""The scenes of the window's states: what is missing, changed, held elsewhere, found again, or can't be read."""

import errno
import shutil
from datetime import datetime
from pathlib import Path
from threading import Event

import msgspec
from msgspec.structs import replace
from PySide6.QtWidgets import QProgressBar

from annotator.bundled import bundled
from annotator.desktop.preferences.recent import RecentCase
from annotator.errors import StoreError
from annotator.media.survey import survey
from annotator.media.write.copied_clip import copy_from_key_frame
from annotator.media.write.piece import Piece
from annotator.model.timecode import Ms
from annotator.progress import Progress
from annotator.store.lock import Holder
from annotator.store.session import Session
from annotator.workflow.cases_of import beside
from annotator.workflow.new_case import new_case
from annotator.workflow.sample import MEMBRANES
from docs.drawing.stage import Stage, until, wait_for


def start_again(stage: Stage) -> None:
    """The first screen of whoever has worked here before; one of the cases is gone."""
    there = stage.folder / "model-eye-membrane.case.jsonld"
    there.write_text("{}", encoding="utf-8")
    gone = stage.folder / "model-eye-detachment.case.jsonld"
    today = datetime.now().replace(hour=14, minute=5)
    stage.window.preferences.recent_cases = (
        RecentCase(str(there), today),
        RecentCase(str(gone), datetime(2025, 10, 3, 20, 15)),
    )
    stage.window.close_case()
    recent = stage.window.start.recent
    recent.refresh()
    wait_for(lambda: recent.missing == {gone})


def loading(stage: Stage) -> None:
    """A recording that is being read, held at two fifths until the window is closed."""
    copy = stage.folder / "new-recording.mp4"
    shutil.copy(MEMBRANES.home / MEMBRANES.recording, copy)
    pause = Event()

    def job(progress: Progress) -> None:
        while not pause.wait(0.05):
            progress(2, 5)

    page = stage.window.loading
    stage.window.openings.run(job, f"Reading {copy.name}")
    page.look.begin(copy)
    bar = page.findChild(QProgressBar)
    wait_for(lambda: isinstance(bar, QProgressBar) and bar.value() > 0 and page.look.isVisible())


def nothing_tagged(stage: Stage) -> None:
    stage.open_copy()
    stage.seek(0.2)


def recovered(stage: Stage) -> None:
    """What lies on disk while a case is open is what a sudden end leaves there."""
    copy = stage.open_copy()
    _tag_a_little(stage)
    left = stage.folder / "left"
    left.mkdir()
    for name in (copy.name, beside(copy).name, f".{beside(copy).name}.journal"):
        shutil.copy(stage.folder / name, left)
    _open(stage, left / beside(copy).name)
    stage.seek(0.3)


def recording_missing(stage: Stage) -> None:
    copy = stage.open_copy()
    _tag_a_little(stage)
    stage.window.close_case()
    copy.unlink()
    _open(stage, beside(copy))


def not_found(stage: Stage) -> None:
    """The same after a folder was searched in vain."""
    recording_missing(stage)
    empty = stage.folder.parent / "archive"
    empty.mkdir()
    bench = stage.window.bench
    if bench is not None:
        bench.relink.look_in(empty)
        wait_for(lambda: any("archive" in text for text in bench.notices.texts))


def recording_moved(stage: Stage) -> None:
    copy = stage.open_copy()
    _tag_a_little(stage)
    stage.window.close_case()
    archive = stage.folder / "archive"
    archive.mkdir()
    copy.rename(archive / "operation.mp4")
    _open(stage, beside(copy))
    stage.seek(0.3)


def recording_changed(stage: Stage) -> None:
    copy = stage.open_copy()
    _tag_a_little(stage)
    stage.window.close_case()
    with copy.open("ab") as file:
        file.write(bytes(8))
    _open(stage, beside(copy))


def no_sound(stage: Stage) -> None:
    copy = stage.folder / "new-recording.mkv"
    shutil.copy(bundled("sample_media") / "short-silent.mkv", copy)
    _open(stage, copy)


def disk_full(stage: Stage) -> None:
    stage.open_sample()
    is_full = iter([True])

    def refused() -> None:
        if next(is_full, False):
            raise StoreError("Nothing was changed") from OSError(errno.ENOSPC, "")

    if stage.window.controller is not None:
        stage.window.controller.retry.make(refused)


def several_recordings(stage: Stage) -> None:
    """The sample in two files, as recorders split them, in the middle of a step."""
    stage.open_sample()
    controller = stage.window.controller
    if controller is None:
        return
    whole, tags = controller.case, controller.case.tags
    surveyed = survey(MEMBRANES.home / MEMBRANES.recording)
    longest = max((tag for tag in tags if tag.end is not None), key=lambda tag: (tag.end or 0) - tag.start)
    middle = (longest.start + (longest.end or 0)) // 2
    parts = [stage.folder / "part-1.mp4", stage.folder / "part-2.mp4"]
    pieces: list[tuple[Ms, Ms]] = [(0, middle), (middle, whole.duration)]
    for part, (start, end) in zip(parts, pieces, strict=True):
        copy_from_key_frame(Piece(surveyed, start, end), part)
    path = stage.folder / "two-parts.case.jsonld"
    case = new_case(parts, whole.vocabulary, whole.title, path)
    Session.create(path, replace(case, tags=tags)).close()
    _open(stage, path)
    if stage.window.controller is not None:
        stage.window.controller.select(longest.id)
        stage.seek(case.borders[1] / case.duration + 0.03)


def recordings(stage: Stage) -> None:
    """Recordings to be put in order, one of them none."""
    surveyed = survey(MEMBRANES.home / MEMBRANES.recording)
    parts = [stage.folder / f"model-eye part {number}.mp4" for number in (10, 1, 2)]
    for number, part in enumerate(parts):
        copy_from_key_frame(Piece(surveyed, 0, 20_000 + 10_000 * number), part)
    words = stage.folder / "notes.mp4"
    words.write_text("These are words, not a recording.", encoding="utf-8")
    stage.window.open_paths([*parts, words])
    page = stage.window.recordings
    wait_for(lambda: page.isVisible() and all(one.recording or one.why for one in page.list.entries))


def captions_beside(stage: Stage) -> None:
    copy = stage.folder / "new-recording.mp4"
    shutil.copy(MEMBRANES.home / MEMBRANES.recording, copy)
    cues = "00:12.400 --> 00:22.000\nCore vitrectomy\n\n00:47.000 --> 00:54.200\nDelamination\n"
    copy.with_suffix(".vtt").write_text(f"WEBVTT\n\n{cues}", encoding="utf-8")
    _open(stage, copy)
    stage.seek(0.2)


def read_only(stage: Stage) -> None:
    stage.open_sample()
    controller = stage.window.controller
    if controller is None:
        return
    path = controller.session.path
    stage.window.close_case()
    with Session.open(path), until(stage.window.player.shown):
        holder = Holder("fellow", "theatre-2", 4711, "2026-11-24 20:15")
        path.with_name(f".{path.name}.holder").write_bytes(msgspec.json.encode(holder))
        stage.window.open_paths([path])
    stage.seek(0.3)


def unreadable(stage: Stage) -> None:
    words = stage.folder / "operation.mp4"
    words.write_text("These are words, not a recording.", encoding="utf-8")
    with until(stage.window.start.fault_shown):
        stage.window.open_paths([words])


def _open(stage: Stage, path: Path) -> None:
    with until(stage.window.player.shown):
        stage.window.open_paths([path])


def _tag_a_little(stage: Stage) -> None:
    controller = stage.window.controller
    if controller is not None:
        for name, at in (("ports", 0.02), ("core vitrectomy", 0.1), ("segmentation", 0.25)):
            stage.seek(at)
            controller.tag(controller.case.vocabulary.match(name).iri)
