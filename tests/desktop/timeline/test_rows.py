"""The rows of the timeline: all of them within reach at any size, and what is written in them legible."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainter, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from annotator.desktop.theme import typeface
from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.tokens import DARK, contrast, ink_on
from annotator.desktop.timeline.bands import FacetBand
from annotator.desktop.timeline.lane import Look, Words, recording_name
from annotator.desktop.timeline.painting import paint_playhead, paint_words
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.window import Window
from annotator.model.case import Case, Tag, with_tags
from annotator.model.edits import Edited
from annotator.model.recording import Recording
from annotator.publish.report.phase_colours import CaseColours, phase_colours
from annotator.store.vocabularies import find
from annotator.workflow.frames import CaseFrames
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of
from tests.desktop.films import film

VOCABULARY = find("vitreoretinal")
LENGTH = 5_000


def tags_of_every_facet() -> list[Tag]:
    """Three of each, all at the same time."""
    found = []
    for facet in VOCABULARY.facets:
        for number, concept in enumerate(list(VOCABULARY.in_facet(facet.name))[:3]):
            start, end = (1_000 * number, 1_000 * number + 900) if facet.exclusive else (500, 4_500)
            found.append(Tag(f"urn:tag:{facet.name}:{number}", concept.iri, start, end))
    return found


@pytest.fixture
def low(opened: Opener, recording: Path) -> Window:
    """A window as low as a laptop's, with tags of every kind."""
    window = opened(recording)

    def edit(case: Case) -> Edited:
        return Edited(with_tags(case, tags_of_every_facet()), "tagged")

    assert controller_of(window).do(edit)
    window.resize(1280, 720)
    QApplication.processEvents()
    return window


def wheel(window: Window, place: QPoint, turns: int) -> None:
    timeline = bench_of(window).timeline
    up = QPoint(0, 120 * turns)
    buttons, held = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    point, over = QPointF(place), QPointF(timeline.mapToGlobal(place))
    turned = QWheelEvent(point, over, QPoint(), up, buttons, held, Qt.ScrollPhase.NoScrollPhase, False)
    QApplication.sendEvent(timeline, turned)


def test_the_wheel_over_their_names_brings_every_row_into_sight(low: Window) -> None:
    timeline = bench_of(low).timeline
    names = ["thumbnails", "sound", *(facet.label["en"].lower() for facet in VOCABULARY.facets)]
    seen: set[str] = set()
    over = QPoint(20, round(timeline.middle_of("thumbnails")))
    whole = timeline.middle_of("whole case")
    for _ in range(40):
        seen |= {name for name in names if over.y() <= timeline.middle_of(name) < timeline.height()}
        wheel(low, over, -1)
    assert seen == set(names)
    assert timeline.middle_of("whole case") == whole


def test_a_tag_in_a_row_out_of_sight_is_brought_there_and_can_be_clicked(low: Window) -> None:
    timeline, controller = bench_of(low).timeline, controller_of(low)
    hidden = VOCABULARY.facets[-1]
    name = hidden.label["en"].lower()
    timeline.show_time(0)
    controller.select(f"urn:tag:{VOCABULARY.facets[0].name}:0")
    wheel(low, QPoint(20, round(timeline.height() - 20)), 40)
    wanted = f"urn:tag:{hidden.name}:2"
    controller.select(wanted)
    assert timeline.middle_of(name) < timeline.height()
    controller.select(None)
    x = round(timeline.scale.x(2_000))
    found = set()
    for y in range(round(timeline.middle_of("whole case")) + 40, timeline.height() - 8, 3):
        QTest.mouseClick(timeline, Qt.MouseButton.LeftButton, pos=QPoint(x, y))
        found.add(controller.selected.id if controller.selected else None)
    assert wanted in found


def test_a_click_on_the_ruler_takes_no_row_that_has_moved_behind_it(low: Window) -> None:
    timeline, controller = bench_of(low).timeline, controller_of(low)
    wheel(low, QPoint(20, timeline.height() - 20), -4)
    controller.select(None)
    QTest.mouseClick(
        timeline,
        Qt.MouseButton.LeftButton,
        pos=QPoint(round(timeline.scale.x(2_000)), round(timeline.middle_of("whole case")) + 20),
    )
    assert controller.selected is None


# --- what is written -----------------------------------------------------------------------------------------------


def words_of(theme: Theme, tags: list[Tag]) -> list[Words]:
    recording = Recording("urn:recording:1", "none.mp4", "none", LENGTH)
    case = Case("urn:case:1", "Many", VOCABULARY, (recording,), tuple(tags))
    colours = CaseColours(phase_colours(VOCABULARY))
    look = Look(case, CaseFrames(case, {}), 0, None, frozenset(), theme.colours, colours, None, 0, 1_400)
    image = QImage(1_400, 200, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    found: list[Words] = []
    for facet in VOCABULARY.facets:
        band = FacetBand(case, facet)
        found += band.paint(painter, QRectF(0, 0, 1_400, band.height), Scale(0, LENGTH, 0, 1_400), look)
    painter.end()
    return found


@pytest.mark.parametrize("choice", [Choice.DARK, Choice.LIGHT])
@pytest.mark.parametrize("confirmed", [True, False])
def test_every_name_on_a_bar_stands_out(choice: Choice, confirmed: bool, qapp: QApplication) -> None:
    """At least 4.5 to 1 (WCAG 2.2, 1.4.3), also where a tag is only proposed and its bar is pale."""
    theme = Theme(qapp, choice)
    tags = [
        Tag(f"urn:tag:{number}", concept.iri, 0, LENGTH, confirmed=confirmed)
        for number, concept in enumerate(VOCABULARY.concepts)
    ]
    words = words_of(theme, tags)
    theme.deleteLater()
    assert len(words) == len(tags)
    assert min(contrast(one.ink, one.ground) for one in words) >= 4.5


@given(st.integers(0, LENGTH - 1))
def test_the_playhead_leaves_the_names_alone(at: int) -> None:
    def drawn(playhead: float | None) -> QImage:
        image = QImage(200, 30, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(DARK.bar)
        painter = QPainter(image)
        words = Words(QRectF(40, 4, 150, 20), "Segmentation", typeface.small(strong=True), ink_on(DARK.bar), DARK.bar)
        if playhead is not None:
            paint_playhead(painter, image.rect(), playhead, 0, 30, DARK.text)
        paint_words(painter, image.rect(), [words], -100 if playhead is None else playhead)
        painter.end()
        return image.copy(40, 6, 60, 16)

    assert drawn(at * 200 / LENGTH) == drawn(None)


def test_several_recordings_have_their_names(opened: Opener, recording: Path, tmp_path: Path) -> None:
    window = opened(recording, film(tmp_path / "second eye.mp4", 75, "25", "-g", "25"))
    case = controller_of(window).case
    assert [recording_name(case, number) for number in (0, 1)] == ["1  model-eye.mp4", "2  second eye.mp4"]
    timeline = bench_of(window).timeline
    names = timeline.grab().toImage().copy(0, 4, timeline.width(), 14)
    x = timeline.scale.x(case.borders[1])
    ground = names.pixelColor(names.width() - 1, 2)
    written = [at for at in range(names.width()) if any(names.pixelColor(at, y) != ground for y in range(14))]
    assert any(timeline.scale.x(0) < at < x - 20 for at in written)
    assert any(x + 4 < at < x + 100 for at in written)
