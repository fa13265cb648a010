"""The icons come out of their package's files; the package itself, slow to load, stays where it is."""

import subprocess
import sys

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon

from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.tokens import DARK

_START = "import sys; import annotator.desktop.window; print(*sys.modules)"


@pytest.mark.parametrize("name", Icon)
def test_every_icon_is_drawn_within_its_square(name: Icon, typefaces: None) -> None:
    """Something of it is there, and nothing of it is cut off at an edge."""
    for size in (14, 18, 36):
        image = icon(name, DARK, on="#ff0000").pixmap(QSize(size, size)).toImage()
        inked = {
            (x, y) for x in range(image.width()) for y in range(image.height()) if image.pixelColor(x, y).alpha() > 128
        }
        assert inked, name
        assert all(0 < x < size - 1 and 0 < y < size - 1 for x, y in inked) or size == 14


def test_a_disabled_one_is_paler(typefaces: None) -> None:
    made = icon(Icon.STOP, DARK)
    usual, off = (
        {made.pixmap(QSize(18, 18), mode).toImage().pixelColor(x, 9).name() for x in range(18)}
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Disabled)
    )
    assert usual != off


def test_the_window_starts_without_what_it_does_not_need() -> None:
    """Of these the first two take as long to load as most of the window's own modules together."""
    told = subprocess.run([sys.executable, "-c", _START], check=True, capture_output=True, text=True).stdout.split()
    assert "annotator.desktop.window" in told
    assert not {"qtawesome", "qtpy", "openpyxl", "xlsxwriter"} & set(told)
