"""Buttons and labels, made the same way for all parts of the window."""

from collections.abc import Callable, Sequence
from html import escape

from PySide6.QtCore import QObject, QRectF, QSize, Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QToolButton,
    QWidget,
)

from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import BAR, CORNER, ICON, ICON_BUTTON, SMALL_ICON, SMALL_ICON_BUTTON, UNIT


def label(text: str, kind: str = "", parent: QWidget | None = None) -> QLabel:
    made = QLabel(parent)
    made.setTextFormat(Qt.TextFormat.PlainText)  # or text from a file that looks like HTML would be taken for it
    made.setText(text)
    made.setProperty("kind", kind)
    return made


class PushButton(QPushButton):
    """A button with words, which Return presses as Space does. The main one shows the focus by a ring inside, as its
    colour would swallow one outside.
    """

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not pressed_by_return(self, event):
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        paint_main_ring(self)


class IconButton(QToolButton):
    """A button with an icon alone; otherwise like the one with words."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not pressed_by_return(self, event):
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        paint_main_ring(self)


def pressed_by_return(made: QAbstractButton, event: QKeyEvent) -> bool:
    """Qt leaves Return to the buttons of dialogs, and there are none here."""
    if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        return False
    made.click()
    return True


def paint_main_ring(made: QAbstractButton) -> None:
    """The ring of a main button that has the focus, in the colour of its words."""
    if made.property("rank") == "main" and made.hasFocus():
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(made.palette().buttonText().color(), 2))
        painter.drawRoundedRect(QRectF(made.rect()).adjusted(4, 4, -4, -4), CORNER - 2, CORNER - 2)
        painter.end()


def button(action: QAction, *, text: str | None = None, rank: str = "") -> QPushButton:
    """A button with words that does what an action does, and can be used when it can."""
    made = PushButton(action.text().rstrip("…") if text is None else text)
    made.setAccessibleName(action.text())
    made.setProperty("rank", rank)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    keep_tip(made, action)
    made.clicked.connect(action.trigger)
    made.setEnabled(action.isEnabled())
    action.enabledChanged.connect(made.setEnabled)
    return made


def icon_button(action: QAction, *, rank: str = "", width: int = ICON_BUTTON) -> QToolButton:
    """A button with the action's icon only; its words are in the tip and for screen readers."""
    made = IconButton()
    made.setDefaultAction(action)
    made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
    made.setAccessibleName(action.text())
    made.setProperty("rank", rank)
    made.setIconSize(QSize(ICON, ICON))
    made.setMinimumWidth(width)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made


def without_argument(function: Callable[[], object]) -> Callable[[bool], None]:
    """Qt tells whether an action is checked, which none of these functions wants to know."""

    def call(_checked: bool = False) -> None:
        function()

    return call


def word_button(text: str, does: Callable[[], object], name: str = "") -> PushButton:
    """`name` tells screen readers more than the words do, where these need their surroundings to be understood."""
    made = PushButton(text)
    made.setAccessibleName(name or text)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.clicked.connect(without_argument(does))
    return made


class FoldButton(QToolButton):
    """Does what the action does; its arrow points to where the panel goes."""

    def __init__(self, action: QAction, name: str, arrow: Icon, theme: Theme) -> None:
        super().__init__()
        self._arrow = arrow
        self._theme = theme
        self.setAccessibleName(name)
        keep_tip(self, action)
        self.setProperty("rank", "quiet")
        self.setProperty("dense", True)
        self.setFixedWidth(SMALL_ICON_BUTTON)
        self.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(action.trigger)
        theme.changed.connect(self._paint_arrow)
        self._paint_arrow()

    def _paint_arrow(self) -> None:
        colours = self._theme.colours
        self.setIcon(icon(self._arrow, colours, on=colours.muted))


class CloseButton(PushButton):
    """A quiet cross that closes a page; `name` is what a screen reader says."""

    def __init__(self, name: str, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setAccessibleName(name)
        self.setProperty("rank", "quiet")
        self.setFixedWidth(ICON_BUTTON)
        self.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        theme.changed.connect(self._paint_cross)
        self._paint_cross()

    def _paint_cross(self) -> None:
        self.setIcon(icon(Icon.CLOSE, self._theme.colours))


class LineEdit(QLineEdit):
    """A line to type in. A file that is dragged over it is meant for the window, not for the text."""

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls():
            event.ignore()
        else:
            super().dragEnterEvent(event)


def let_clear(field: QLineEdit, theme: Theme) -> None:
    """Have a cross at the end of a field that empties it, as long as there is something in it."""
    _Clear(field, theme)


class _Clear(QObject):
    """Ends with its field."""

    def __init__(self, field: QLineEdit, theme: Theme) -> None:
        super().__init__(field)
        self._theme = theme
        self._action = QAction("Clear", field)
        self._action.triggered.connect(field.clear)
        field.addAction(self._action, QLineEdit.ActionPosition.TrailingPosition)
        field.textChanged.connect(self._show)
        theme.changed.connect(self._paint)
        self._show(field.text())
        self._paint()

    def _show(self, text: str) -> None:
        self._action.setVisible(bool(text))

    def _paint(self) -> None:
        colours = self._theme.colours
        self._action.setIcon(icon(Icon.CLOSE, colours, on=colours.muted))


class ChoiceBox(QComboBox):
    """A field to choose one of some words; reached by Tab, so that a click does not take the keys away.

    The wheel scrolls what it stands in: it must not change what is said. Words without room end in an ellipsis.
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setAccessibleDescription(name)  # on Linux Qt gives what is chosen as the name of such a field
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """As Qt does, which cuts the words through a letter."""
        painter, option, parts = QStylePainter(self), QStyleOptionComboBox(), QStyle.ComplexControl.CC_ComboBox
        self.initStyleOption(option)
        words = self.placeholderText() if self.currentIndex() < 0 else self.currentText()
        room = self.style().subControlRect(parts, option, QStyle.SubControl.SC_ComboBoxEditField, self).width()
        option.currentText = self.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, room)
        painter.drawComplexControl(parts, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.end()


def choices(name: str, words: Sequence[str]) -> ChoiceBox:
    """A field to choose one of these words."""
    made = ChoiceBox(name)
    made.addItems([str(word) for word in words])
    return made


def dense(box: QComboBox) -> QComboBox:
    """A field as low as a row of a form, and no wider than it must be; the tip and the list have the whole words."""
    box.setProperty("dense", True)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(3)
    return box


def end_typing() -> None:
    """Take the focus from a field that is typed in, as a click elsewhere does: what was typed goes where it belongs."""
    typed = QApplication.focusWidget()
    if isinstance(typed, (QLineEdit, QPlainTextEdit)):
        typed.clearFocus()


def key_of(action: QAction) -> str:
    """The first key of an action as the system writes it, also while keys are off; empty for none."""
    keys = action.property("keys")
    return QKeySequence(keys[0]).toString(QKeySequence.SequenceFormat.NativeText) if keys else ""


def plain_tip(*lines: str) -> str:
    """Lines of text from elsewhere as a tip. Qt takes a tip that looks like HTML for HTML, so this one is, escaped."""
    return f"<qt>{'<br>'.join(escape(line) for line in lines if line)}</qt>"


def tip(action: QAction) -> str:
    """What a button does and the key that does the same."""
    key, text = key_of(action), words_of(action).rstrip("…")
    said = f"{text} ({key})" if key else text
    return plain_tip(said) if "<" in said else said  # what an action is about may be named by a file


def words_of(action: QAction) -> str:
    """What an action is called, without the marks for menus."""
    return action.text().replace("&&", "&")


def keep_tip(button: QAbstractButton, action: QAction) -> None:
    """Give a button the tip of the action that it does, also when the action has another key."""
    _Tip(button, action)


class _Tip(QObject):
    """Ends with its button."""

    def __init__(self, button: QAbstractButton, action: QAction) -> None:
        super().__init__(button)
        self._button = button
        self._action = action
        action.changed.connect(self._tell)
        self._tell()

    def _tell(self) -> None:
        self._button.setToolTip(tip(self._action))


def bar(edge: str) -> tuple[QFrame, QHBoxLayout]:
    """A bar over the whole width, with a line at its top or bottom."""
    frame = QFrame()
    frame.setProperty("kind", "bar")
    frame.setProperty("edge", edge)
    frame.setFixedHeight(BAR)
    row = QHBoxLayout(frame)
    row.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
    row.setSpacing(2 * UNIT)
    return frame, row


def restyle(widget: QWidget) -> None:
    """Let a changed property take effect in the stylesheet."""
    widget.style().unpolish(widget)
    widget.style().polish(widget)
