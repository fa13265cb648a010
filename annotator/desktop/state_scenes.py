"""The scenes of the window's states: what is missing, changed, held elsewhere, found again, or can't be read."""

from annotator.desktop.opening import beside
from annotator.desktop.stage import Stage, until
from annotator.store.session import Session


def nothing_tagged(stage: Stage) -> None:
    stage.open_copy()
    stage.seek(0.2)


def recording_missing(stage: Stage) -> None:
    copy = stage.open_copy()
    stage.window.close_case()
    copy.unlink()
    with until(stage.window.player.shown):
        stage.window.open_paths([beside(copy)])


def read_only(stage: Stage) -> None:
    stage.open_sample()
    controller = stage.window.controller
    if controller is None:
        return
    path = controller.session.path
    stage.window.close_case()
    with Session.open(path), until(stage.window.player.shown):
        stage.window.open_paths([path])
    stage.seek(0.3)


def unreadable(stage: Stage) -> None:
    words = stage.folder / "operation.mp4"
    words.write_text("These are words, not a recording.", encoding="utf-8")
    with until(stage.window.start.fault_shown):
        stage.window.open_paths([words])
