"""A field for several lines of text, as high as its lines need."""

from PySide6.QtCore import QMimeData, QSize, Qt
from PySide6.QtGui import QDragEnterEvent, QFocusEvent, QKeyEvent, QTextOption
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from annotator.desktop.theme.tokens import SMALL_CONTROL, UNIT
from annotator.desktop.widgets.form_line import OwnedText, Put, is_enter

MOST_LINES = 5
"""Lines that are seen at once; further ones are scrolled to."""


class TextEdit(QPlainTextEdit):
    """Plain words only. A file that is dragged over it is meant for the window, not for the text."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setWordWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("dense", True)
        self.document().setDocumentMargin(UNIT - 1)
        self.document().documentLayout().documentSizeChanged.connect(self._fit)

    @property
    def fitting_height(self) -> int:
        """Of all its lines, or of as many as are seen at once."""
        lines = min(max(round(self.document().size().height()), 1), MOST_LINES)
        around = 2 * (self.frameWidth() + round(self.document().documentMargin()))
        return max(lines * self.fontMetrics().lineSpacing() + around, SMALL_CONTROL)

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), self.fitting_height)

    def minimumSizeHint(self) -> QSize:
        return QSize(20 * UNIT, self.fitting_height)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls():
            event.ignore()
        else:
            super().dragEnterEvent(event)

    def canInsertFromMimeData(self, source: QMimeData) -> bool:
        return source.hasText()

    def _fit(self) -> None:
        self.updateGeometry()


class FormText(TextEdit):
    """As FormLine, but Return begins a new line: Ctrl+Return or leaving puts the text in."""

    def __init__(self, name: str, put: Put, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.setProperty("taken_by", "Ctrl+Return confirms")
        self._owned = OwnedText(self, put)

    def show_of(self, owner: str, text: str) -> None:
        """Show an owner's text. What is being typed stays; that of another owner goes there first."""
        self._owned.show_of(owner, text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._owned.go_back()
        elif is_enter(event) and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._owned.take()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._owned.leave(event)

    def typed(self) -> str:
        return self.toPlainText()

    def is_typed_in(self) -> bool:
        return self.document().isModified()

    def mark_typed_in(self, typed: bool) -> None:
        self.document().setModified(typed)

    def show_text(self, text: str) -> None:
        if text != self.toPlainText():
            self.setPlainText(text)
        self.document().setModified(False)
