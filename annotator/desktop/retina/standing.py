"""Asks how the picture of a recording stands, while the chart over it turns with what is selected."""

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QGridLayout, QHBoxLayout, QRadioButton, QVBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label
from annotator.model.recording import View

_WORDS = {
    View.UPRIGHT: "12 o’clock up",
    View.TURNED: "Turned by 180°",
    View.MIRRORED: "Mirrored",
    View.TURNED_AND_MIRRORED: "Turned and mirrored",
}


_HIGH = 300
"""Pixels of what lies below from which there is room for more than the question itself."""


class StandingQuestion(QFrame):
    """A bar along the head of the picture, which gives way to it: the whole chart is seen while it is asked about.

    tried     a View that the chart should be shown in
    answered  the View that was settled on, or None where the user has thought better of it
    takes     how many pixels of the picture it needs; 0 once it is answered
    """

    tried = Signal(object)
    answered = Signal(object)
    takes = Signal(int)

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.hide()
        self._over = over
        over.installEventFilter(self)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self.setAccessibleName("How does the picture stand?")
        self._views = QButtonGroup(self)
        for number, text in enumerate(_WORDS.values()):
            self._views.addButton(QRadioButton(text), number)
        self._words = label("Select what makes the chart fit: clock hours, nose and temple.", "second")
        self._words.setWordWrap(True)
        self.use = PushButton("Use")
        self.use.setProperty("rank", "main")
        self._cancel = PushButton("Cancel")
        for button in (*self._views.buttons(), self.use, self._cancel):
            button.setProperty("needs", "arrows")  # Escape is for the question
        self._grid = QGridLayout()
        self._lay_out()
        self._views.idToggled.connect(lambda _number, on: self.tried.emit(self.view) if on else None)
        self.use.clicked.connect(lambda: self._answer(self.view))
        self._cancel.clicked.connect(self.cancel)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(2 * UNIT)
        head.addWidget(label("How does the picture stand?", "title"), 1)
        head.addWidget(self._cancel)
        head.addWidget(self.use)
        self._grid.setHorizontalSpacing(3 * UNIT)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(len(_WORDS), 1)
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(3 * UNIT, 2 * UNIT, 3 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addLayout(head)
        column.addWidget(self._words)
        column.addLayout(self._grid)
        self._put_answers(columns=2)

    def _put_answers(self, columns: int) -> None:
        for number, button in enumerate(self._views.buttons()):
            self._grid.removeWidget(button)
            self._grid.addWidget(button, number // columns, number % columns)

    def _fit(self) -> None:
        """Along the whole head, the answers in one row where they have room, else in two."""
        margins, buttons = self._column.contentsMargins(), self._views.buttons()
        room = self._over.width() - margins.left() - margins.right()
        gaps = (len(buttons) - 1) * self._grid.horizontalSpacing()
        in_one_row = sum(one.sizeHint().width() for one in buttons) + gaps <= room
        self._put_answers(len(buttons) if in_one_row else 2)
        self._words.setVisible(self._over.height() >= _HIGH)
        self._column.activate()
        wraps = self._column.hasHeightForWidth()
        wide, low = self._over.width(), self._column.totalSizeHint().height()
        self.setGeometry(0, 0, wide, self._column.totalHeightForWidth(wide) if wraps else low)
        self.takes.emit(self.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and not self.isHidden():
            self._fit()
        return False

    @property
    def view(self) -> View:
        """What is selected now."""
        return list(_WORDS)[self._views.checkedId()]

    def select(self, view: View) -> None:
        button = self._views.button(list(_WORDS).index(view))
        button.setChecked(True)
        button.setFocus(Qt.FocusReason.PopupFocusReason)

    def ask(self, view: View) -> None:
        """Show it with a view selected."""
        self.show()
        self.raise_()
        self._fit()
        self.select(view)

    def cancel(self) -> None:
        self._answer(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._answer(self.view)
        elif event.key() == Qt.Key.Key_Escape:
            self.cancel()
        else:
            super().keyPressEvent(event)

    def _answer(self, view: View | None) -> None:
        if not self.isHidden():
            self.hide()
            self.takes.emit(0)
            self.answered.emit(view)
