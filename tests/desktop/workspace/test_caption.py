"""The words on the picture: the step first, and never wider than the picture."""

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QImage, QPainter

from annotator.desktop.theme.tokens import CAPTION_GROUND, PICTURE_MUTED, PICTURE_TEXT, contrast
from annotator.desktop.workspace.caption import Caption, caption_of, paint_caption
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.store.vocabularies import find

GROUND = QColor("#ffffff")


def case_with(*names: str) -> tuple[Case, list[Tag]]:
    vocabulary = find("vitreoretinal")
    tags = [Tag(f"urn:{name}", vocabulary.match(name).iri, 0, 1000) for name in names]
    return Case("urn:case", "t", vocabulary, (Recording("urn:0", "0.mp4", "f", 5000),), tuple(tags)), tags


def test_the_step_comes_first_then_the_rest() -> None:
    case, tags = case_with("membrane work", "delamination", "bimanual", "forceps")
    assert caption_of(case, tags, 500) == Caption("Delamination", "Membrane work · Bimanual · Forceps", "00:00:00.500")


def test_without_a_step_the_first_of_the_rest_stands_in_its_place() -> None:
    case, tags = case_with("forceps")
    assert caption_of(case, tags, 0) == Caption("Forceps", "", "00:00:00.000")
    assert caption_of(case, [], 0) == Caption()


@pytest.mark.usefixtures("typefaces")
@pytest.mark.parametrize("width", [1600, 640, 320, 200, 120])
def test_it_never_leaves_the_picture(width: int) -> None:
    case, tags = case_with("membrane work", "delamination", "bimanual", "lift and shave", "forceps", "light pipe")
    image = QImage(width + 80, 200, QImage.Format.Format_RGB32)
    image.fill(GROUND)
    picture = QRect(40, 10, width, 180)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_caption(painter, caption_of(case, tags, 500), picture)
    painter.end()
    touched = [(x, y) for x in range(image.width()) for y in range(image.height()) if image.pixelColor(x, y) != GROUND]
    assert touched
    assert all(picture.contains(x, y) for x, y in touched)
    free = picture.right() - picture.width() // 6
    assert all(x < free for x, _ in touched), "what a recorder writes into the right corner stays legible"


@pytest.mark.parametrize("words", [PICTURE_TEXT, PICTURE_MUTED])
@pytest.mark.parametrize("behind", ["#ffffff", "#000000", "#ffd0a0"])
def test_its_words_are_legible_over_any_picture(words: str, behind: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1, with the ground laid over the picture as Qt does: source over."""
    image = QImage(1, 1, QImage.Format.Format_RGB32)
    image.fill(QColor(behind))
    painter = QPainter(image)
    painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
    painter.fillRect(image.rect(), QColor(CAPTION_GROUND))
    painter.end()
    assert contrast(words, image.pixelColor(0, 0).name(QColor.NameFormat.HexRgb)) >= 4.5
