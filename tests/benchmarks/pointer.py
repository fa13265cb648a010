"""How long the window takes from a move of the pointer over a crowded timeline until all that follows is painted."""

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, QSize, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from annotator.desktop.editing.controller import Controller
from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.timeline.timeline import Timeline
from annotator.model.case import Case
from annotator.store.session import Session
from docs.drawing.stage import staged, until
from tests.benchmarks.measurement import Measurement, percentile, seconds

MOVES = 200
_SIZE = QSize(1440, 900)
_NEAR = 8
"""How often the timeline is zoomed in for the second figure of each kind."""

_NONE, _LEFT = Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton


def measurements(app: QApplication, case: Case, folder: Path, plain: float) -> Iterator[Measurement]:
    """Over the whole case and zoomed in. The case has no picture, so that nothing waits for one."""
    path = folder / "pointer.case.jsonld"
    Session.create(path, case).close()
    with staged(app, Theme(app, Choice.DARK), folder, _SIZE) as stage:
        with until(stage.window.player.shown):
            stage.window.open_paths([path])
        bench = stage.window.bench
        assert bench is not None
        for zoom, where in ((0, "over the whole case"), (_NEAR, "zoomed in")):
            for _ in range(zoom):
                bench.timeline.zoom(0.5, case.duration // 2)
            app.processEvents()
            for what, moves in (("hovering", _hovering), ("dragging an edge", _dragging)):
                slow = percentile(moves(app, bench.timeline, bench.controller), 0.95)
                name = f"{what} {where}, {len(case.tags):,} tags, p95 of a move (to be at most 16 ms)"
                yield Measurement(name, slow, f"{len(case.tags):,} plain rectangles", plain)


def _hovering(app: QApplication, timeline: Timeline, controller: Controller) -> list[float]:
    """With a chosen tag, whose edges are looked for."""
    controller.select(_middle(timeline, controller))
    y = timeline.middle_of("step")
    return [_moved(app, timeline, QPointF(300 + by, y), _NONE) for by in range(MOVES)]


def _dragging(app: QApplication, timeline: Timeline, controller: Controller) -> list[float]:
    tag_id = _middle(timeline, controller)
    controller.select(tag_id)
    app.processEvents()
    edge = QPointF(timeline.scale.x(controller.case.tag(tag_id).start), timeline.middle_of("step"))
    _send(timeline, QEvent.Type.MouseButtonPress, edge, _LEFT)
    taken = [_moved(app, timeline, edge + QPointF(by, 0), _LEFT) for by in range(MOVES)]
    _send(timeline, QEvent.Type.MouseButtonRelease, edge, _LEFT)
    controller.undo()
    return taken


def _middle(timeline: Timeline, controller: Controller) -> str:
    """The tag in the middle of what is visible."""
    middle = (timeline.scale.start + timeline.scale.end) // 2
    return next(tag.id for tag in controller.case.tags if tag.start >= middle)


def _moved(app: QApplication, timeline: Timeline, to: QPointF, button: Qt.MouseButton) -> float:
    def move() -> None:
        _send(timeline, QEvent.Type.MouseMove, to, button)
        app.processEvents()

    return seconds(move)


def _send(timeline: Timeline, kind: QEvent.Type, to: QPointF, button: Qt.MouseButton) -> None:
    cause = _NONE if kind == QEvent.Type.MouseMove else button
    event = QMouseEvent(kind, to, timeline.mapToGlobal(to), cause, button, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(timeline, event)
