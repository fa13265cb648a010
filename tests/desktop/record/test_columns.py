"""Every step's name of the supplied vocabulary has room in a line of the tag list at its usual width."""

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication

from annotator.desktop.record.columns import columns_of
from annotator.desktop.record.delegate import name_font
from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import ROW
from annotator.store.vocabularies import find

USUAL = QRect(0, 0, 352 - 8, ROW)
"""Of the side panel, less its scroll bar."""

STEPS = [one.label() for one in find("vitreoretinal").in_facet("step")]


@pytest.mark.parametrize("name", STEPS)
def test_a_steps_name_is_not_cut(name: str, qapp: QApplication, typefaces: None) -> None:
    length = QFontMetrics(typeface.figures(strong=True)).horizontalAdvance("0:08") + 1
    room = columns_of(USUAL, indented=False, hours=False, length=length).name.width()
    font = name_font(name, room, strong=True)
    assert QFontMetrics(font).horizontalAdvance(name) <= room
