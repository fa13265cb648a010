"""A window lies within its screen, frame included, wherever it was kept."""

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QMargins, QPoint, QRect, QSize, QTimer
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.screen_fit import ScreenFit, fit, fitted

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
    with qtbot.waitExposed(window):
        window.show()
        window.move(free.right() - 50, free.bottom() - 50)
    assert window.frameGeometry().height() > window.height()
    assert not free.contains(window.frameGeometry())
    fit(window)
    qtbot.waitUntil(lambda: free.contains(window.frameGeometry()))
    assert window.frameGeometry().size() == free.size()


class FramedLate(QWidget):
    """As under a window manager of X11: shown without a frame, and moved once it has one."""

    frame = QMargins()

    def frameGeometry(self) -> QRect:
        return self.geometry() + self.frame


def test_a_frame_that_comes_late_is_fitted_too(qtbot: QtBot) -> None:
    window = FramedLate()
    qtbot.addWidget(window)
    free = window.screen().availableGeometry()
    window.resize(free.size())
    ScreenFit(window)
    with qtbot.waitExposed(window):
        window.show()
    assert window.size() == free.size()
    window.frame = QMargins(1, 20, 1, 5)
    window.move(free.topLeft() + QPoint(1, 20))
    qtbot.waitUntil(lambda: window.height() == free.height() - 25)
    # What the user does later stays.
    window.resize(free.size())
    window.move(free.topLeft() + QPoint(2, 21))
    with qtbot.waitSignal(window.windowTitleChanged):
        QTimer.singleShot(0, window, lambda: window.setWindowTitle("seen"))
    assert window.size() == free.size()
