"""A case of very many tags in the window: how long it takes to open, and how long a change takes to the screen."""

import os
import random
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from PySide6.QtCore import QSettings, QStringListModel
from PySide6.QtWidgets import QApplication, QListView

from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.typeface import load_typefaces
from annotator.desktop.window import Window
from annotator.model.case import Case
from annotator.store.session import Session
from tests.benchmarks.measurement import Measurement, percentile, seconds
from tests.benchmarks.store import TAGS, large_case, random_edit

CHANGES = 60


def measurements() -> Iterator[Measurement]:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    load_typefaces()
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:  # the system's own folder may be memory, not a disk
        folder = Path(name)
        for kind in ("CACHE", "CONFIG", "STATE", "DATA"):
            os.environ[f"XDG_{kind}_HOME"] = name
        path = folder / "large.case.jsonld"
        Session.create(path, large_case()).close()
        yield from _in_the_window(app, path, QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat))


def _in_the_window(app: QApplication, path: Path, settings: QSettings) -> Iterator[Measurement]:
    window = Window(app, Theme(app, Choice.DARK), settings)
    window.show()
    app.processEvents()
    opened = seconds(lambda: _open(app, window, path))
    yield Measurement(
        f"a case of {TAGS:,} tags opened in the window (to be at most 2 s)",
        opened,
        "Session.open of the same case, without a window",
        seconds(lambda: Session.open(path, writable=False)),
    )
    assert window.controller is not None
    dice = random.Random(20261128)
    taken, plain = [], []
    lines = _Lines(app, window.controller.case)
    for number in range(CHANGES):
        taken.append(_change(app, window, dice, number))
        plain.append(lines.change(dice))
    for share in (0.5, 0.95):
        yield Measurement(
            f"a change in {TAGS:,} tags, on disk and on screen, {share:.0%} of them (to be at most 16 ms)",
            percentile(taken, share),
            f"a line of a plain QListView of {TAGS:,} taken out, put in and painted",
            percentile(plain, share),
        )
    window.close()


def _open(app: QApplication, window: Window, path: Path) -> None:
    window.open_paths([path])
    while window.controller is None:
        app.processEvents()
    app.processEvents()


def _change(app: QApplication, window: Window, dice: random.Random, number: int) -> float:
    """Seconds until all that a change asks to be painted is."""
    controller = window.controller
    assert controller is not None
    edit = random_edit(controller.case, dice, number)
    started = perf_counter()
    controller.do(edit)
    app.processEvents()
    return perf_counter() - started


class _Lines:
    """As many lines of plain text in Qt's own list."""

    def __init__(self, app: QApplication, case: Case) -> None:
        self._app = app
        self._model = QStringListModel([f"{tag.start} {tag.concept}" for tag in case.tags])
        self._view = QListView()
        self._view.setUniformItemSizes(True)
        self._view.setModel(self._model)
        self._view.show()
        app.processEvents()

    def change(self, dice: random.Random) -> float:
        row = dice.randrange(self._model.rowCount())
        started = perf_counter()
        self._model.removeRow(row)
        self._model.insertRow(row)
        self._app.processEvents()
        return perf_counter() - started
