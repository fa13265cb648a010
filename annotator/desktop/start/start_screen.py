"""The start screen: open recordings, open a case, try the sample; and the page while something is opened."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QAction, QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QVBoxLayout, QWidget

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.settings.vocabulary_box import VocabularyBox
from annotator.desktop.start.first_look import FirstLook
from annotator.desktop.start.new_kind_box import NewKindBox
from annotator.desktop.start.recent_list import RecentList
from annotator.desktop.tasks.task import time_left
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import LARGE_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, button, label, restyle
from annotator.desktop.widgets.scroll import FittingScroll
from annotator.plain_text import capitalised

_CHOICES = (
    ("open_recordings", Icon.OPEN_RECORDING, "Open recordings", "One operation, in one or more files"),
    ("open_case", Icon.OPEN_CASE, "Open case", "Go on where you stopped"),
)
_SAMPLES = (
    ("open_sample", Icon.SAMPLE, "Try the sample", "An invented diabetic eye"),
    ("open_second_sample", Icon.SAMPLE, "Try the second sample", "An invented macular hole"),
)

_SHARE, _NARROW, _WIDE = 0.6, 824, 1_160
"""How much of the window's width the parts take, and the pixels within which that stays."""


class StartScreen(QWidget):
    """fault_shown  why something could not be opened"""

    fault_shown = Signal(str)

    def __init__(
        self, actions: Mapping[str, QAction], theme: Theme, preferences: Preferences, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._signs: list[tuple[QLabel, Icon]] = []
        self._columns: list[QWidget] = []
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        headline = label("Open an operation", "headline")
        row = QHBoxLayout()
        row.setSpacing(4 * UNIT)
        for number, (does, sign, words, second) in enumerate(_CHOICES):
            self._columns.append(_card(actions[does], self._mark(sign), words, second, main=number == 0))
        self._columns.append(self._samples(actions))
        for part in self._columns:
            row.addWidget(part)
        self.vocabulary = VocabularyBox(preferences)
        self.vocabulary.setMinimumWidth(240)
        self.kind = NewKindBox(self.vocabulary)
        below = QHBoxLayout()
        below.setSpacing(2 * UNIT)
        of_new = label("Vocabulary for new cases", "second")
        of_new.setBuddy(self.vocabulary)
        below.addWidget(of_new)
        below.addWidget(self.vocabulary)
        below.addWidget(self.kind)
        below.addSpacing(4 * UNIT)
        below.addWidget(button(actions["show_library"]))
        below.addWidget(button(actions["show_settings"]))
        self.recent = RecentList(preferences, theme)
        self.drop = label("Or drop recordings, a folder of them or a case anywhere in this window")
        self.drop.setProperty("kind", "drop")
        self.drop.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.drop.setWordWrap(True)
        caution = label(
            "For teaching material. Not a clinical record, not a medical device. Recordings stay where they are, "
            "are only read, and nothing is sent anywhere.",
            "second",
        )
        caution.setWordWrap(True)
        caution.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        caution.setFixedWidth(560)
        self.fault = label("", "warning")
        self.fault.setWordWrap(True)
        # As high as a short fault, and to be scrolled where a file has many.
        self._faults = FittingScroll(self.fault)
        self._faults.setFixedWidth(640)
        self._faults.hide()
        _in_the_middle(self, [headline, 5, row, 3, self.drop, 3, self.recent, 3, below, 3, self._faults, 3, caution])
        theme.changed.connect(self._paint_icons)
        self._paint_icons()

    def _samples(self, actions: Mapping[str, QAction]) -> QWidget:
        """The samples under one another, as high together as another card."""
        both = QWidget()
        column = QVBoxLayout(both)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * UNIT)
        for does, sign, words, second in _SAMPLES:
            column.addWidget(_low_card(actions[does], self._mark(sign), words, second))
        return both

    def _mark(self, sign: Icon) -> QLabel:
        mark = QLabel()
        self._signs.append((mark, sign))
        return mark

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """A large window gets larger cards and longer lines, not only more emptiness around them."""
        wide = min(max(round(self.width() * _SHARE), _NARROW), _WIDE)
        for part in (self.recent, self.drop):
            part.setFixedWidth(wide)
        for card in self._columns:
            card.setFixedWidth((wide - (len(self._columns) - 1) * 4 * UNIT) // len(self._columns))
        self.drop.setFixedHeight(min(max(self.height() // 14, 12 * UNIT), 18 * UNIT))

    def show_drop(self, over: bool) -> None:
        """Whether something that can be dropped here is held over the window."""
        self.drop.setProperty("over", over)
        restyle(self.drop)

    def showEvent(self, _event: QShowEvent) -> None:
        # Not at once: what is opened from the command line puts this screen away before anybody has seen it.
        QTimer.singleShot(0, self._look)

    def _look(self) -> None:
        if self.isVisible():
            self.vocabulary.refresh()
            self.kind.refresh()
            self.recent.refresh()

    def show_fault(self, says: str) -> None:
        """Say why what was asked for could not be opened; empty for no fault."""
        self.fault.setText(says)
        side = Qt.AlignmentFlag.AlignLeft if "\n" in says else Qt.AlignmentFlag.AlignHCenter
        self.fault.setAlignment(side | Qt.AlignmentFlag.AlignTop)
        self._faults.setVisible(bool(says))
        self._faults.updateGeometry()
        if says:
            self.fault_shown.emit(says)

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for number, (mark, sign) in enumerate(self._signs):
            mark.setPixmap(
                icon(sign, colours, on=colours.accent if number else colours.on_accent).pixmap(LARGE_ICON, LARGE_ICON)
            )


class LoadingPage(QWidget):
    """What is being opened, and how long that still takes; `look` shows a recording's first picture meanwhile.

    cancelled  the user does not want to wait
    """

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
        cancel = PushButton("Cancel")
        cancel.clicked.connect(self.cancelled)
        self.look = FirstLook()
        _in_the_middle(self, [self.look, 4, self._what, 3, self._bar, 2, self._left, 4, cancel])

    def begin(self, what: str) -> None:
        self._what.setText(what)
        self._left.setText("")
        self._bar.setValue(0)

    def show_progress(self, share: float, seconds_left: object) -> None:
        self._bar.setValue(round(1000 * share))
        left = time_left(seconds_left)
        self._left.setText(capitalised(left))

    def hideEvent(self, _event: QHideEvent) -> None:
        self.look.end()


def _card(action: QAction, mark: QLabel, words: str, second: str, *, main: bool) -> PushButton:
    """A card with its sign above its words."""
    made, parts = _card_with(action, mark, words, second)
    made.setProperty("rank", "main" if main else "")
    column = QVBoxLayout(made)
    column.setContentsMargins(4 * UNIT, 5 * UNIT, 4 * UNIT, 5 * UNIT)
    column.setSpacing(UNIT)
    column.addStretch(1)
    for part in parts:
        part.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(part)
    column.addStretch(1)
    return made


def _low_card(action: QAction, mark: QLabel, words: str, second: str) -> PushButton:
    """A card of half the height, with its sign before its words."""
    made, (sign, *texts) = _card_with(action, mark, words, second)
    made.setProperty("low", True)
    row = QHBoxLayout(made)
    row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
    row.setSpacing(4 * UNIT)
    row.addWidget(sign)
    column = QVBoxLayout()
    column.setSpacing(0)
    column.addStretch(1)
    for part in texts:
        column.addWidget(part)
    column.addStretch(1)
    row.addLayout(column, 1)
    return made


def _card_with(action: QAction, mark: QLabel, words: str, second: str) -> tuple[PushButton, list[QLabel]]:
    """A button that carries out a command, and what is to be laid out on it."""
    made = PushButton()
    made.setProperty("kind", "card")
    made.setAccessibleName(words)
    made.setAccessibleDescription(second)
    made.setAutoDefault(True)
    made.clicked.connect(action.trigger)
    parts = [mark, label(words, "title"), label(second)]
    for part in parts:
        part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    return made, parts


def _in_the_middle(page: QWidget, parts: list[QWidget | QHBoxLayout | int]) -> None:
    """Parts under one another in the middle of a page; a number is a gap in steps of the grid."""
    column = QVBoxLayout(page)
    column.addStretch(2)
    for part in parts:
        if isinstance(part, int):
            column.addSpacing(part * UNIT)
        else:
            # Not an alignment: a label that wraps would then get the height of one line.
            centred = QHBoxLayout()
            centred.addStretch(1)
            if isinstance(part, QHBoxLayout):
                centred.addLayout(part)
            else:
                centred.addWidget(part)
            centred.addStretch(1)
            column.addLayout(centred)
    column.addStretch(3)
