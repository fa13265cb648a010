"""A button that opens a list of ticks: several values in the space of one field."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QMenu

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton

_ARROW = 5 * UNIT


class TickButton(PushButton):
    """Says what is ticked; reached by Tab, so that a click does not take the keys away.

    changed  something was ticked or unticked
    """

    changed = Signal()

    def __init__(self, name: str, offered: Mapping[str, str], says: Callable[[Sequence[str]], str]) -> None:
        """`offered` are the words of the ticks by what they stand for; `says` puts in words which of these are on."""
        super().__init__()
        self._says = says
        self.setProperty("kind", "choice")
        self.setProperty("dense", True)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.menu_of_ticks = _TickMenu(self)
        self.ticks = {value: _tick(words, self.menu_of_ticks) for value, words in offered.items()}
        for action in self.ticks.values():
            action.toggled.connect(self._take)
        # Not as the button's own menu: Qt would draw the words of such a button over its left edge.
        self.clicked.connect(self._open)
        self._show()

    def sizeHint(self) -> QSize:
        """With room for the arrow."""
        return super().sizeHint() + QSize(_ARROW, 0)

    @property
    def values(self) -> tuple[str, ...]:
        """What is ticked, in the order in which it is offered."""
        return tuple(value for value, action in self.ticks.items() if action.isChecked())

    def tick(self, values: Iterable[str]) -> None:
        """Have these ticked, and no others."""
        wanted = set(values)
        for value, action in self.ticks.items():
            action.setChecked(value in wanted)

    def _open(self) -> None:
        self.menu_of_ticks.popup(self.mapToGlobal(self.rect().bottomLeft()))

    def _take(self) -> None:
        self._show()
        self.changed.emit()

    def _show(self) -> None:
        self.setText(self._says(self.values))
        self.setAccessibleDescription(self.text())


class _TickMenu(QMenu):
    """Stays open while one ticks, as several may be wanted."""

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if not self._toggle():
            super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Space or not self._toggle():
            super().keyPressEvent(event)

    def _toggle(self) -> bool:
        action = self.activeAction()
        if action is not None:
            action.toggle()
        return action is not None


def _tick(words: str, menu: QMenu) -> QAction:
    made = QAction(words, menu)
    made.setCheckable(True)
    menu.addAction(made)
    return made
