"""The ribbon: repainting it with many tags, and the film strip of a long recording."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import QEventLoop
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from annotator.desktop.controller import Controller
from annotator.desktop.player import Player
from annotator.desktop.ribbon import Ribbon
from annotator.desktop.strip_maker import StripMaker
from annotator.desktop.theme import Choice, Theme
from annotator.desktop.typeface import load_typefaces
from annotator.media.strip_cache import StripCache
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.timecode import HOUR
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.frames import CaseFrames
from tests.benchmarks.measurement import Measurement, in_turn
from tests.benchmarks.media import RATE, SECONDS, decode_keys, drawn, looped

TAGS = 10_000
MINUTES = 60


def measurements() -> Iterator[Measurement]:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    load_typefaces()
    with tempfile.TemporaryDirectory(prefix="annotator-bench-") as folder:
        yield _repaint(app, Path(folder))
        short = drawn(Path(folder, "short.mp4"), "1M", group=300)
        yield _strip(looped(short, Path(folder, "long.mp4"), MINUTES * 60 // SECONDS), Path(folder))


def _repaint(app: QApplication, folder: Path) -> Measurement:
    """The whole ribbon over three hours, beside as many plain rectangles as there are tags."""
    case = crowded()
    with Session.create(folder / "crowded.case.jsonld", case) as session:
        player = Player()
        controller = Controller(session, CaseFrames(case, {}), player)
        strips = StripMaker(case, [None], StripCache(folder / "strips"))
        ribbon = Ribbon(controller, Theme(app, Choice.DARK), strips)
        ribbon.resize(1440, ribbon.sizeHint().height())
        image = QImage(ribbon.size(), QImage.Format.Format_ARGB32_Premultiplied)
        painted, plain = in_turn(lambda: ribbon.render(image), lambda: _plain_rectangles(image), runs=21)
    return Measurement(
        f"ribbon repainted with {TAGS:,} tags (to be at most 8 ms)", painted, f"{TAGS:,} plain rectangles", plain
    )


def crowded() -> Case:
    """Three hours with a step every second or so, each followed by the next."""
    vocabulary = find("vitreoretinal")
    steps = [concept.iri for concept in vocabulary.in_facet("step")]
    length = 3 * HOUR // TAGS
    tags = [
        Tag(f"urn:tag:{number}", steps[number % len(steps)], number * length, (number + 1) * length)
        for number in range(TAGS)
    ]
    recording = Recording("urn:recording:1", "none.mp4", "none", 3 * HOUR)
    return Case("urn:case:1", "Crowded", vocabulary, (recording,), tuple(tags))


def _plain_rectangles(image: QImage) -> None:
    painter = QPainter(image)
    for number in range(TAGS):
        painter.fillRect(number * image.width() // TAGS, 80, 1, 20, QColor("#009e73"))
    painter.end()


def _strip(path: Path, folder: Path) -> Measurement:
    """From opening until the strip is whole, as the window makes it, beside decoding the key frames alone."""
    caches = iter(range(1_000))
    duration = MINUTES * 60_000
    recording = Recording("urn:recording:1", path.name, "content", duration)
    case = Case("urn:case:1", "Long", find("vitreoretinal"), (recording,), ())

    def make() -> None:
        maker = StripMaker(case, [path], StripCache(folder / f"cache-{next(caches)}"))
        loop = QEventLoop()
        maker.done.connect(loop.quit)
        maker.start()
        loop.exec()

    strip, bare = in_turn(make, lambda: decode_keys(path), runs=3)
    name = f"film strip and sound of {MINUTES} minutes of 1080p{RATE}, a key frame every 5 s"
    return Measurement(name, strip, "a bare key-frame decode", bare, aim=1.2)
