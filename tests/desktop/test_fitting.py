"""A window lies within its screen, frame included, wherever it was kept."""

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRect, QSize
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.fitting import fit, fitted

sizes = st.integers(1, 5_000)
places = st.integers(-5_000, 10_000)
areas = st.builds(QRect, places, places, sizes, sizes)


@given(areas, areas)
def test_it_lies_within_the_free_area(frame: QRect, free: QRect) -> None:
    fits = fitted(frame, free)
    assert free.contains(fits)
    assert fits.size() == frame.size().boundedTo(free.size())
    assert fitted(fits, free) == fits


@given(areas, areas)
def test_what_fits_stays_where_it_is(frame: QRect, free: QRect) -> None:
    assert not free.contains(frame) or fitted(frame, free) == frame


def test_a_real_window_is_fitted_with_its_frame(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    free = window.screen().availableGeometry()
    window.resize(free.size() + QSize(300, 300))
    window.show()
    window.move(free.right() - 50, free.bottom() - 50)
    qtbot.waitExposed(window)
    assert window.frameGeometry().height() > window.height()
    assert not free.contains(window.frameGeometry())
    fit(window)
    qtbot.waitUntil(lambda: free.contains(window.frameGeometry()))
    assert window.frameGeometry().size() == free.size()
