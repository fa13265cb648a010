"""The timeline: repainting it with many tags, and the film strip of a long recording."""

import os
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from time import perf_counter

from PySide6.QtCore import QEventLoop
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from annotator.desktop.editing.controller import Controller
from annotator.desktop.playback.player import Player
from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.typeface import load_typefaces
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.desktop.timeline.timeline import Timeline
from annotator.media.cache.strip_cache import StripCache
from annotator.media.pictures.thumbnails import Thumbnail
from annotator.media.pictures.whole_strip import whole_strip
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.timecode import HOUR, MINUTE
from annotator.progress import silent
from annotator.store.session import Session
from annotator.store.vocabularies import find
from annotator.workflow.frames import CaseFrames
from tests.benchmarks import pointer
from tests.benchmarks.measurement import Measurement, in_turn
from tests.benchmarks.media import RATE, SECONDS, decode_keys, drawn, looped

TAGS = 10_000
MINUTES = 60
LOOKED_AT = (40 * MINUTE, 50 * MINUTE)


def measurements() -> Iterator[Measurement]:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    load_typefaces()
    with tempfile.TemporaryDirectory(prefix="annotator-bench-") as folder:
        repaint = _repaint(app, Path(folder))
        yield repaint
        yield from pointer.measurements(app, crowded(), Path(folder), repaint.baseline_value)
        for group in (300, RATE):
            short = drawn(Path(folder, "short.mp4"), "1M", group=group)
            long = looped(short, Path(folder, "long.mp4"), MINUTES * 60 // SECONDS)
            yield from _strip(long, Path(folder), group // RATE)


def _repaint(app: QApplication, folder: Path) -> Measurement:
    """The whole timeline over three hours, beside as many plain rectangles as there are tags."""
    case = crowded()
    with Session.create(folder / "crowded.case.jsonld", case) as session:
        player = Player()
        controller = Controller(session, CaseFrames(case, {}), player)
        strips = StripMaker(case, [None], [""], StripCache(folder / "strips"))
        timeline = Timeline(controller, Theme(app, Choice.DARK), strips)
        timeline.resize(1440, timeline.sizeHint().height())
        image = QImage(timeline.size(), QImage.Format.Format_ARGB32_Premultiplied)
        painted, plain = in_turn(lambda: timeline.render(image), lambda: _plain_rectangles(image), runs=21)
    return Measurement(
        f"timeline repainted with {TAGS:,} tags (to be at most 8 ms)", painted, f"{TAGS:,} plain rectangles", plain
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


def _strip(path: Path, folder: Path, apart: int) -> Iterator[Measurement]:
    """As the window makes it: until everything is there, and until ten minutes that are looked at are."""
    caches = iter(range(1_000))
    recording = Recording("urn:recording:1", path.name, "content", MINUTES * MINUTE)
    case = Case("urn:case:1", "Long", find("vitreoretinal"), (recording,), ())

    def make() -> None:
        maker = StripMaker(
            case, [path], [case.recordings[0].fingerprint], StripCache(folder / f"cache-{apart}-{next(caches)}")
        )
        loop = QEventLoop()
        maker.done.connect(loop.quit)
        maker.start()
        loop.exec()

    strip, bare = in_turn(make, lambda: decode_keys(path), runs=3)
    of = f"{MINUTES} minutes of 1080p{RATE}, a key frame every {apart} s"
    yield Measurement(f"film strip and sound of {of}", strip, "a bare key-frame decode", bare, aim=1.2)
    yield Measurement(f"of these the ten minutes in view, {of}", _until_seen(path), "all of it", strip)


def _until_seen(path: Path) -> float:
    """Seconds until no more thumbnails come for the minutes that are looked at."""
    start, end = LOOKED_AT
    began = last = perf_counter()

    def take(batch: Sequence[Thumbnail]) -> None:
        nonlocal last
        if any(start <= one.time < end for one in batch):
            last = perf_counter()

    whole_strip(path, MINUTES * MINUTE, lambda: (start + end) // 2, take, silent)
    return last - began
