"""The scenes of publishing: what is chosen, what is said before, and what came of it."""

from PySide6.QtWidgets import QApplication

from annotator.desktop.publishing.panel import PublishPanel
from docs.drawing.stage import Stage, until

_LEVELS = 8
"""Of layouts within layouts: each takes up a new height only after the one within it."""


def publish(stage: Stage) -> None:
    _panel(stage)


def publish_clips(stage: Stage) -> None:
    panel = _panel(stage)
    controller = stage.window.controller
    if controller is None:
        return
    steps = [tag.id for tag in controller.case.in_facet("step")][2:5]
    controller.select(steps[0], steps)
    for part in (panel.form.chapters, panel.form.durations):
        part.set_on(False)
    panel.form.clips.set_on(True)
    with until(panel.looked):
        panel.form.clip_form.setCurrentIndex(panel.form.clip_form.findData("copy"))
    for _ in range(_LEVELS):
        QApplication.processEvents()


def summary(stage: Stage) -> None:
    """The figures beside the page of publishing, one step set off."""
    panel = _panel(stage)
    bench = stage.window.bench
    if bench is not None:
        with until(bench.summary.refreshed):
            panel.figures_wanted.emit()
        bench.summary.table.selectRow(5)


def publish_done(stage: Stage) -> None:
    panel = _panel(stage)
    panel.form.shared.set_on(True)
    with until(panel.finished):
        panel.write.click()


def _panel(stage: Stage) -> PublishPanel:
    stage.open_sample()
    stage.window.commands.actions["show_publish"].trigger()
    bench = stage.window.bench
    if bench is None:
        raise RuntimeError("the sample did not open")
    return bench.publish
