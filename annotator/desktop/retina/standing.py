"""Asks how the picture of a recording stands, while the chart over it turns with what is selected."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QRadioButton, QVBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label
from annotator.model.recording import View

_WORDS = {
    View.UPRIGHT: "12 o’clock up",
    View.TURNED: "Turned by 180°",
    View.MIRRORED: "Mirrored",
    View.TURNED_AND_MIRRORED: "Turned and mirrored",
}


class StandingQuestion(QFrame):
    """A sheet over the picture.

    tried     a View that the chart should be shown in
    answered  the View that was settled on, or None where the user has thought better of it
    """

    tried = Signal(object)
    answered = Signal(object)

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.hide()
        self._over = over
        self.setProperty("kind", "sheet")
        self.setAccessibleName("How does the picture stand?")
        self._views = QButtonGroup(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 3 * UNIT, 4 * UNIT, 3 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(label("How does the picture stand?", "title"))
        words = label("Select what makes the chart fit the retina: clock hours, nose and temple.", "second")
        words.setWordWrap(True)
        column.addWidget(words)
        for number, text in enumerate(_WORDS.values()):
            one = QRadioButton(text)
            one.setProperty("needs", "arrows")
            self._views.addButton(one, number)
            column.addWidget(one)
        self.use = PushButton("Use")
        self.use.setProperty("rank", "main")
        cancel = PushButton("Cancel")
        for button in (self.use, cancel):
            button.setProperty("needs", "arrows")  # Escape is for the question
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(cancel)
        row.addWidget(self.use)
        column.addLayout(row)
        self._views.idToggled.connect(lambda _number, on: self.tried.emit(self.view) if on else None)
        self.use.clicked.connect(lambda: self._answer(self.view))
        cancel.clicked.connect(self.cancel)

    @property
    def view(self) -> View:
        """What is selected now."""
        return list(_WORDS)[self._views.checkedId()]

    def select(self, view: View) -> None:
        button = self._views.button(list(_WORDS).index(view))
        button.setChecked(True)
        button.setFocus(Qt.FocusReason.PopupFocusReason)

    def ask(self, view: View) -> None:
        """Show it in the upper left corner of what it lies over, with a view selected."""
        self.adjustSize()
        self.move(3 * UNIT, 3 * UNIT)
        self.show()
        self.raise_()
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
            self.answered.emit(view)
