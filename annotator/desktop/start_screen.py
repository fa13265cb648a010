"""The first screen: open recordings, open a case, try the sample; and the page while something is opened."""

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QToolButton, QVBoxLayout, QWidget

from annotator.desktop.controls import label
from annotator.desktop.icons import Icon, icon
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT
from annotator.model.timecode import SECOND, span

_CHOICES = (
    ("open_recordings", Icon.OPEN_RECORDING, "Open recordings", "One operation, in one or more files"),
    ("open_case", Icon.OPEN_CASE, "Open a case", "Go on where you stopped"),
    ("open_sample", Icon.SAMPLE, "Try the sample", "An invented operation on a model eye"),
)


class StartScreen(QWidget):
    def __init__(self, actions: Mapping[str, QAction], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._cards: list[tuple[QToolButton, Icon]] = []
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        headline = label("Which operation shall we look at?", "headline")
        row = QHBoxLayout()
        row.setSpacing(4 * UNIT)
        for number, (does, sign, words, second) in enumerate(_CHOICES):
            card = _card(actions[does], words, second, main=number == 0)
            self._cards.append((card, sign))
            row.addWidget(card)
        caution = label(
            "For teaching material: no clinical record and no medical device. Recordings stay where they are, "
            "are only read, and nothing is sent anywhere.",
            "second",
        )
        caution.setWordWrap(True)
        caution.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        caution.setMaximumWidth(560)
        self.fault = label("", "warning")
        self.fault.setWordWrap(True)
        self.fault.setTextFormat(Qt.TextFormat.PlainText)
        self.fault.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.fault.setMaximumWidth(640)
        self.fault.setMinimumWidth(560)
        _in_the_middle(self, [headline, 6, row, 6, self.fault, caution])
        theme.changed.connect(self._paint_icons)
        self._paint_icons()

    def show_fault(self, says: str) -> None:
        """Say why what was asked for could not be opened; empty for no fault."""
        self.fault.setText(says)

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for number, (card, sign) in enumerate(self._cards):
            card.setIcon(icon(sign, colours, on=colours.accent if number else colours.on_accent))


class LoadingPage(QWidget):
    """cancelled  the user does not want to wait"""

    cancelled = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._what = label("", "title")
        self._left = label("", "second")
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setRange(0, 1000)
        self._bar.setFixedWidth(360)
        self._bar.setAccessibleName("Progress")
        cancel = QPushButton("Cancel")
        cancel.clicked.connect(self.cancelled)
        _in_the_middle(self, [self._what, 3, self._bar, 2, self._left, 4, cancel])

    def begin(self, what: str) -> None:
        self._what.setText(what)
        self._left.setText("")
        self._bar.setValue(0)

    def show_progress(self, share: float, seconds_left: object) -> None:
        self._bar.setValue(round(1000 * share))
        if isinstance(seconds_left, float):
            self._left.setText(f"about {span(round(seconds_left * SECOND))} left")


def _card(action: QAction, words: str, second: str, *, main: bool) -> QToolButton:
    made = QToolButton()
    made.setText(f"{words}\n{second}")
    made.setIconSize(QSize(32, 32))
    made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
    made.setAccessibleName(words)
    made.setAccessibleDescription(second)
    made.setProperty("rank", "main" if main else "")
    made.setFixedSize(264, 132)
    made.clicked.connect(action.trigger)
    return made


def _in_the_middle(page: QWidget, parts: list[QWidget | QHBoxLayout | int]) -> None:
    """Parts under one another in the middle of a page; a number is a gap in steps of the grid."""
    column = QVBoxLayout(page)
    column.addStretch(2)
    for part in parts:
        if isinstance(part, int):
            column.addSpacing(part * UNIT)
        elif isinstance(part, QHBoxLayout):
            centred = QHBoxLayout()
            centred.addStretch(1)
            centred.addLayout(part)
            centred.addStretch(1)
            column.addLayout(centred)
        else:
            column.addWidget(part, 0, Qt.AlignmentFlag.AlignHCenter)
    column.addStretch(3)
