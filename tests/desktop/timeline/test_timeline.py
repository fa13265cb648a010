"""The timeline: folded and open, over borders between recordings, and down to single frames."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QObject, QPoint, QRect
from PySide6.QtGui import QColor, QImage, QPaintEvent, QRegion
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.theme import Theme
from annotator.desktop.timeline.timeline import Timeline
from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from annotator.media.write.review_copy import write_review_copy
from annotator.model.case import Case, Tag, with_tags
from annotator.model.edits import Edited
from annotator.publish.report.phase_colours import phase_fills
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek
from tests.desktop.films import exact_ms, film, read_number


def timeline_of(window: Window) -> Timeline:
    QApplication.processEvents()
    return bench_of(window).timeline


def lane(timeline: Timeline, name: str, half: int) -> QImage:
    """What the timeline paints from `half` pixels above to as many below the middle of a lane."""
    return timeline.grab(QRect(0, round(timeline.middle_of(name)) - half, timeline.width(), 2 * half)).toImage()


def columns(image: QImage, y: int, colour: str) -> list[int]:
    return [x for x in range(image.width()) if image.pixelColor(x, y) == QColor(colour)]


def test_folding_gives_the_picture_room_and_lasts(opened: Opener, recording: Path) -> None:
    window = opened(recording)
    window.resize(1440, 900)
    timeline, picture = timeline_of(window), bench_of(window).picture
    open_height, before = timeline.height(), picture.height()
    QTest.keySequence(window, "F9")
    QApplication.processEvents()
    assert timeline.height() <= 100
    assert picture.height() - before == open_height - timeline.height()
    assert timeline.middle_of("step") > timeline.middle_of("whole case")
    window.close_case()
    window = opened(recording)
    assert timeline_of(window).height() <= 100
    QTest.keySequence(window, "F9")
    QApplication.processEvents()
    assert timeline_of(window).height() == open_height


def test_each_frame_has_its_mark_when_zoomed_in(opened: Opener, recording: Path, theme: Theme, qtbot: QtBot) -> None:
    """Of 30000/1001 frames a second; the marks stand where the frames' own times are."""
    window = opened(recording)
    window.resize(1440, 900)
    seek(qtbot, window, 2_002)
    timeline = timeline_of(window)
    foot = round(timeline.middle_of("whole case")) + 10 + 22  # near the end of the lane below

    def marks() -> list[int]:
        image = timeline.grab(QRect(0, foot, timeline.width(), 1)).toImage()
        return columns(image, 0, theme.colours.muted)

    assert not marks()
    for _ in range(8):
        timeline.zoom(0.5, 2_002)
    scale = timeline_of(window).scale
    frames = [at for at in exact_ms(range(150), 30_000, 1_001) if scale.start < at < scale.end]
    assert 8 <= len(frames) <= 14
    found = np.array(marks())
    for at in set(frames) - {2_002}:  # that mark is under the playhead
        assert np.abs(found - scale.x(at)).min() <= 1.5


def test_borders_are_drawn_and_a_tag_across_one_is_whole(
    opened: Opener, recording: Path, tmp_path: Path, theme: Theme, qtbot: QtBot
) -> None:
    second = film(tmp_path / "second.mp4", 75, "25", "-g", "25")
    window = opened(recording, second)
    window.resize(1440, 900)
    strips = bench_of(window).strips
    qtbot.waitUntil(lambda: strips.is_done, timeout=10_000)
    controller = controller_of(window)
    border = controller.case.borders[1]
    step = controller.case.vocabulary.match("core vitrectomy").iri

    def tagged(case: Case) -> Edited:
        return Edited(with_tags(case, [Tag("urn:across", step, border - 1_000, border + 1_000)]), "tagged")

    assert controller.do(tagged)
    timeline = timeline_of(window)
    x = round(timeline.scale.x(border))
    film_image = lane(timeline, "thumbnails", 15)
    gap = {film_image.pixel(x, y) for y in range(film_image.height())}
    assert gap == {QColor(theme.colours.panel).rgb()}
    overview = lane(timeline, "whole case", 9)
    assert int(timeline.scale.x(border)) in columns(overview, 3, theme.colours.muted)
    step_image = lane(timeline, "step", 8)
    across = range(round(timeline.scale.x(border - 950)), round(timeline.scale.x(border + 950)))
    assert len({step_image.pixel(at, 1) for at in across}) == 1


def test_a_step_of_any_phase_has_the_colour_of_the_one_in_which_it_lies(opened: Opener, recording: Path) -> None:
    window = opened(recording)
    window.resize(1440, 900)
    controller, timeline = controller_of(window), timeline_of(window)
    vocabulary = controller.case.vocabulary
    colours = phase_fills(vocabulary)
    terms = {name: vocabulary.by_notation[name].iri for name in ("core-vitrectomy", "haemostasis", "membrane-work")}

    def add(name: str, start: int, end: int) -> None:
        tag = Tag(f"urn:{name}", terms[name], start, end)
        assert controller.do(lambda case: Edited(with_tags(case, [tag]), "tagged"))

    def colour_at(name: str, at: int) -> QColor:
        return lane(timeline_of(window), name, 5).pixelColor(round(timeline.scale.x(at)), 1)

    add("haemostasis", 2_002, 4_004)
    assert colour_at("whole case", 3_000) == QColor(colours[terms["haemostasis"]]), "its own, with nothing around it"
    add("core-vitrectomy", 0, 2_002)
    for name in ("whole case", "step"):
        assert colour_at(name, 3_000) == QColor(colours[terms["core-vitrectomy"]])
    QApplication.processEvents()
    parts = Parts(timeline)
    add("membrane-work", 2_002, 4_004)
    QApplication.processEvents()
    step = QPoint(round(timeline.scale.x(3_900)), round(timeline.middle_of("step")))
    assert parts.region.contains(step), "though its own lane has no other tags"
    for name in ("whole case", "step"):
        assert colour_at(name, 3_900) == QColor(colours[terms["membrane-work"]]), "that is tagged over it"


_ROUNDING = 4
"""Of 255: the edge of a shape may come out so much otherwise where it is cut off."""


def pixels(image: QImage) -> NDArray[np.int16]:
    return np.array(image.constBits(), dtype=np.int16)


class Parts(QObject):
    """The parts of a widget that Qt asks it to paint."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.region = QRegion()
        widget.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            self.region = self.region.united(event.region())
        return False


def test_only_what_changes_is_painted_and_nothing_old_stays(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    """What a running step, a moment and the playhead leave behind, frame after frame, looks as painted anew."""
    window = opened(recording)
    window.resize(1440, 900)
    qtbot.waitUntil(lambda: bench_of(window).strips.is_done, timeout=10_000)
    QTest.keySequence(window, "c")
    controller = controller_of(window)
    bleeding = controller.case.vocabulary.match("bleeding").iri
    for at in (2_002, 1_001, 1_035, 4_004, 3_971):
        seek(qtbot, window, at)
        if at == 1_001:
            controller.tag(bleeding)
        timeline = timeline_of(window)
        kept = timeline.grab().toImage()
        parts = Parts(timeline)
        seek(qtbot, window, at + 67)
        QApplication.processEvents()
        changed = parts.region
        assert 0 < changed.boundingRect().width() < timeline.width() // 3
        timeline.render(kept, changed.boundingRect().topLeft(), changed)
        assert np.abs(pixels(kept) - pixels(timeline.grab().toImage())).max() <= _ROUNDING


def test_seen_closely_the_film_shows_the_very_frames(
    opened: Opener, recording: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    """Each picture is the frame at its left edge, read from the pixels; without a copy it is a key frame."""
    window = opened(recording)
    window.resize(1440, 900)
    bench = bench_of(window)
    qtbot.waitUntil(lambda: bench.strips.is_done, timeout=10_000)
    for _ in range(8):
        bench.timeline.zoom(0.5, 2_500)
    timeline = timeline_of(window)
    scale, width, high = timeline.scale, round(36 * 320 / 180) + 1, 36

    def seen() -> list[tuple[int, int]]:
        """The number in each whole picture, and of the frame that stands at its left edge."""
        image = timeline.grab().toImage()
        top = round(timeline.middle_of("thumbnails")) - 19
        found: list[tuple[int, int]] = []
        for number in range(round(scale.start * scale.width / (scale.end - scale.start)) // width + 1, 10_000):
            x = round(number * width - scale.start * scale.width / (scale.end - scale.start) + scale.left)
            if x + width > scale.left + scale.width:
                return found
            at = round(number * width * (scale.end - scale.start) / scale.width)
            stands = max(frame for frame in range(150) if exact_ms([frame], 30_000, 1_001)[0] <= at)
            found.append((read_number(image, QRect(x, top, width - 1, high)), stands))
        return found

    assert len({shown for shown, _ in seen()}) == 1
    bench.timeline.closely.use_copy(0, write_review_copy(recording, read_index(recording), tmp_path / "copy.mp4"))
    qtbot.waitUntil(lambda: all(shown == stands for shown, stands in seen()), timeout=10_000)
    assert len({shown for shown, _ in seen()}) > 8
