"""The zoom of the picture, in a corner of it, with a button that shows all of it again."""

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import button, label


class ZoomFigure(QFrame):
    """Hidden while all of the picture is seen."""

    def __init__(self, fit: QAction, parent: QWidget) -> None:
        super().__init__(parent)
        self.setProperty("kind", "over-picture")
        self._percent = label("")
        self._percent.setAccessibleName("Zoom of the picture")
        row = QHBoxLayout(self)
        row.setContentsMargins(3 * UNIT, 0, UNIT, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(self._percent)
        row.addWidget(button(fit, text="Fit", rank="quiet"))
        self.hide()

    @property
    def text(self) -> str:
        return self._percent.text()

    def show_percent(self, percent: float, right: int, top: int) -> None:
        """Say how many hundredths of its own size the picture has, with the upper right corner there."""
        self._percent.setText(f"{percent:.0f} %")
        self.adjustSize()
        self.move(right - self.width(), top)
        self.show()
