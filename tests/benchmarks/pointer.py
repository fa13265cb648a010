"""How long the window takes from a move of the pointer over a crowded ribbon until all that follows is painted."""

from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, QSize, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from annotator.desktop.controller import Controller
from annotator.desktop.ribbon import Ribbon
from annotator.desktop.stage import staged, until
from annotator.desktop.theme import Choice, Theme
from annotator.model.case import Case
from annotator.store.session import Session
from tests.benchmarks.measurement import Measurement, percentile, seconds

MOVES = 200
_SIZE = QSize(1440, 900)
_NEAR = 8
"""How often the ribbon is zoomed in for the second figure of each kind."""

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
                bench.ribbon.zoom(0.5, case.duration // 2)
            app.processEvents()
            for what, moves in (("hovering", _hovering), ("dragging an edge", _dragging)):
                slow = percentile(moves(app, bench.ribbon, bench.controller), 0.95)
                name = f"{what} {where}, {len(case.tags):,} tags, p95 of a move (to be at most 16 ms)"
                yield Measurement(name, slow, f"{len(case.tags):,} plain rectangles", plain)


def _hovering(app: QApplication, ribbon: Ribbon, controller: Controller) -> list[float]:
    """With a chosen tag, whose edges are looked for."""
    controller.choose(_middle(ribbon, controller))
    y = ribbon.middle_of("step")
    return [_moved(app, ribbon, QPointF(300 + by, y), _NONE) for by in range(MOVES)]


def _dragging(app: QApplication, ribbon: Ribbon, controller: Controller) -> list[float]:
    tag_id = _middle(ribbon, controller)
    controller.choose(tag_id)
    app.processEvents()
    edge = QPointF(ribbon.scale.x(controller.case.tag(tag_id).start), ribbon.middle_of("step"))
    _send(ribbon, QEvent.Type.MouseButtonPress, edge, _LEFT)
    taken = [_moved(app, ribbon, edge + QPointF(by, 0), _LEFT) for by in range(MOVES)]
    _send(ribbon, QEvent.Type.MouseButtonRelease, edge, _LEFT)
    controller.undo()
    return taken


def _middle(ribbon: Ribbon, controller: Controller) -> str:
    """The tag in the middle of what is visible."""
    middle = (ribbon.scale.start + ribbon.scale.end) // 2
    return next(tag.id for tag in controller.case.tags if tag.start >= middle)


def _moved(app: QApplication, ribbon: Ribbon, to: QPointF, button: Qt.MouseButton) -> float:
    def move() -> None:
        _send(ribbon, QEvent.Type.MouseMove, to, button)
        app.processEvents()

    return seconds(move)


def _send(ribbon: Ribbon, kind: QEvent.Type, to: QPointF, button: Qt.MouseButton) -> None:
    cause = _NONE if kind == QEvent.Type.MouseMove else button
    event = QMouseEvent(kind, to, ribbon.mapToGlobal(to), cause, button, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(ribbon, event)
