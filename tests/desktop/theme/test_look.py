"""Colours are legible, in both themes; the formula is WCAG's."""

import itertools
import re
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QPalette

from annotator import desktop
from annotator.desktop.commands.actions import Keys
from annotator.desktop.steps.sheet_rows import rows_of
from annotator.desktop.theme.stylesheet import stylesheet
from annotator.desktop.theme.theme import Theme, palette
from annotator.desktop.theme.tokens import (
    CAPTION_GROUND,
    CLOCK_SIZE,
    DARK,
    HEADLINE_SIZE,
    LARGE_SIZE,
    LIGHT,
    PICTURE_GROUND,
    PICTURE_MUTED,
    PICTURE_TEXT,
    SMALL_SIZE,
    TEXT_SIZE,
    Colours,
    contrast,
    ink_on,
)
from annotator.publish.report.phase_colours import PALETTE, phase_colours
from annotator.store.vocabularies import find, known

GROUNDS = ("ground", "panel", "raised", "accent_ground")
TEXTS = ("text", "muted")


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # The two ends of the scale by the definition of contrast ratio in WCAG 2.2.
        ("#000000", "#ffffff", 21.0),
        ("#123456", "#123456", 1.0),
        # The examples of W3C's ACT rule afw4f7, "Text has minimum contrast", to the figures given there.
        ("#333333", "#ffffff", 12.6),
        ("#aaaaaa", "#ffffff", 2.3),
        ("#777777", "#eeeeee", 3.85),
        # The grey that WCAG's own understanding documents and checkers give as just enough on white (from memory).
        ("#767676", "#ffffff", 4.54),
    ],
)
def test_contrast_is_wcags(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.05)
    assert contrast(one, other) == contrast(other, one)


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize(("text", "ground"), list(itertools.product(TEXTS, GROUNDS)))
def test_text_stands_out(colours: Colours, text: str, ground: str) -> None:
    assert contrast(getattr(colours, text), getattr(colours, ground)) >= 4.5


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
def test_coloured_text_stands_out(colours: Colours) -> None:
    assert contrast(colours.on_accent, colours.accent) >= 4.5
    assert contrast(colours.warning, colours.panel) >= 4.5
    assert contrast(colours.accent, colours.panel) >= 4.5


@pytest.mark.parametrize("colour", sorted({*(one.fill for one in PALETTE), DARK.bar, LIGHT.bar}))
def test_names_on_bands_stand_out(colour: str) -> None:
    assert contrast(ink_on(colour), colour) >= 4.5


def test_words_on_the_picture_stand_out() -> None:
    assert contrast(PICTURE_TEXT, PICTURE_GROUND) >= 4.5
    assert contrast(PICTURE_MUTED, PICTURE_GROUND) >= 4.5


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
def test_marks_stand_out(colours: Colours) -> None:
    """WCAG 2.2, 1.4.11: what shows the focus, the running step or a moment, at 3:1 on what it lies on."""
    assert contrast(colours.accent, colours.ground) >= 3
    assert contrast(colours.accent, colours.accent_ground) >= 3
    assert contrast(colours.warning, colours.raised) >= 3
    assert contrast(colours.muted, colours.raised) >= 3


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize(
    ("words", "ground"),
    [
        ("accent", "accent_ground"),  # how long the running line has lasted, in the chosen line
        ("accent", "panel"),  # the same in any other line
        ("warning", "panel"),  # a warning in the foot
        ("warning", "ground"),  # why something could not be opened
        ("on_accent", "accent"),  # the main button, and what is marked in a field
        ("warning", "accent_ground"),  # why a recording can't be used, in the selected line
        ("warning", "raised"),  # and with the pointer over it
        ("accent", "ground"),  # a button that looks like a link
        ("text", "line"),  # a button while it is pressed
    ],
)
def test_words_in_colour_stand_out_where_they_are_used(colours: Colours, words: str, ground: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1."""
    assert contrast(getattr(colours, words), getattr(colours, ground)) >= 4.5


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize(
    ("mark", "ground"),
    [
        ("accent", "panel"),  # focus around fields and buttons, the bar of the chosen line
        ("accent", "raised"),
        ("accent", "accent_ground"),  # focus around a chosen line, the dot of a running step
        ("on_accent", "accent"),  # focus of the main button: a ring inside, in the colour of its words
        ("muted", "panel"),  # arrows that fold, edges of the chart's fields, the sign of a note
        ("muted", "accent_ground"),
        ("warning", "panel"),  # the diamond of a moment
        ("warning", "accent_ground"),
    ],
)
def test_marks_stand_out_where_they_are_used(colours: Colours, mark: str, ground: str) -> None:
    """WCAG 2.2, 1.4.11: 3 to 1."""
    assert contrast(getattr(colours, mark), getattr(colours, ground)) >= 3


def test_the_palette_holds_the_tokens() -> None:
    made = palette(DARK)
    assert made.color(QPalette.ColorRole.Window) == QColor(DARK.ground)
    assert made.color(QPalette.ColorRole.WindowText) == QColor(DARK.text)


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
def test_the_stylesheet_knows_no_other_colour(colours: Colours) -> None:
    sheet = stylesheet(colours, "dark")
    used = {word.strip(";") for word in sheet.split() if word.startswith("#")}
    assert used <= {*colours, CAPTION_GROUND, PICTURE_GROUND, PICTURE_MUTED, PICTURE_TEXT}


def test_the_theme_can_be_switched(theme: Theme) -> None:
    before = theme.colours
    theme.toggle()
    assert theme.colours != before
    theme.toggle()
    assert theme.colours == before


def test_window_and_report_have_one_colour_for_a_phase() -> None:
    for name in known():
        words = find(name)
        reported = {iri: colour.fill for iri, colour in phase_colours(words).items()}
        keys = Keys({}, {}, ())
        shown = {row.concept: row.colour for row in rows_of(words, keys) if row.concept and row.colour}
        assert shown
        assert shown.items() <= reported.items()


SCALE = {SMALL_SIZE, TEXT_SIZE, LARGE_SIZE, CLOCK_SIZE, HEADLINE_SIZE}


def test_no_type_is_smaller_than_twelve_pixels() -> None:
    assert min(SCALE) >= 12


def test_the_stylesheet_has_only_the_sizes_of_the_scale() -> None:
    sizes = {int(size) for size in re.findall(r"font-size: (\d+)px", stylesheet(DARK, "dark"))}
    assert sizes
    assert sizes <= SCALE


@pytest.mark.parametrize("pattern", [r"font-size: \d", r"typeface\.\w+\(\d", r"setPixelSize\(\d"])
def test_no_view_has_a_size_of_type_of_its_own(pattern: str) -> None:
    """Pages that are written for printing have a scale of their own."""
    pages = {"key_page.py"}
    sources = [one for one in Path(desktop.__file__).parent.rglob("*.py") if one.name not in pages]
    assert len(sources) > 50
    own = [str(one) for one in sources if re.search(pattern, one.read_text(encoding="utf-8"))]
    assert not own
