"""Text in lines: nothing is lost, and nothing is wider than its room."""

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import lines_of

WORDS = st.lists(st.text("abcdefghijklmnopqrstuvwxyzäöüß-", min_size=1, max_size=30), min_size=1, max_size=8)


def test_what_fits_is_one_line(qapp: QApplication) -> None:
    assert lines_of("Core vitrectomy", typeface.text(), 400) == ["Core vitrectomy"]


@given(words=WORDS, width=st.integers(40, 300))
def test_lines_hold_every_word_within_the_width(qapp: QApplication, words: list[str], width: int) -> None:
    font = typeface.text()
    lines = lines_of(" ".join(words), font, width)
    assert "".join("".join(lines).split()) == "".join(words)
    assert all(QFontMetrics(font).horizontalAdvance(line) <= width + 1 for line in lines)
