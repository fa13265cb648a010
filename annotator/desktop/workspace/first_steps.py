"""Four first steps for new users, in one line, ticked off as they are done and gone once all are."""

from collections.abc import Mapping
from enum import StrEnum

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QWidget

from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, key_of, label, restyle
from annotator.desktop.widgets.labels import ElidedLabel
from annotator.store.session import Change


class Step(StrEnum):
    """What is to be tried, in its order."""

    PLAY = "Play: {toggle_play}"
    TAG = "Tag: press a step’s key when it begins, or click the key in its row; {end_running} ends it"
    CORRECT = "Move its start or end to this frame: {start_here} or {end_here}"
    PUBLISH = "Publish: {show_publish}"


class FirstSteps(QFrame):
    """finished  all four are done, or the user has put the line away: it need never come back"""

    finished = Signal()

    def __init__(self, actions: Mapping[str, QAction], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self.setAccessibleName("First steps")
        self._theme = theme
        self._left = set(Step)
        self._signs = {step: QLabel() for step in Step}
        self._actions = actions
        self._words = {step: label("") for step in Step}
        self._words[Step.TAG] = ElidedLabel()  # the longest gives way in a narrow window
        self._words[Step.TAG].setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        self.show_keys()
        hide = PushButton("Hide")
        hide.setProperty("rank", "quiet")
        hide.setAccessibleName("Hide the first steps")
        hide.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        hide.clicked.connect(self.finished)
        row = QHBoxLayout(self)
        row.setContentsMargins(4 * UNIT, 0, 2 * UNIT, 0)
        row.setSpacing(UNIT)
        for step in Step:
            row.addWidget(self._signs[step])
            row.addWidget(self._words[step])
            row.addSpacing(4 * UNIT)
        row.addStretch(1)
        row.addWidget(hide)
        theme.changed.connect(self._show)
        self._show()

    def show_keys(self) -> None:
        """Name the keys that the commands have now."""
        keys = {does: key_of(action) or "in the menu" for does, action in self._actions.items()}
        for step, words in self._words.items():
            words.setText(step.format_map(keys))

    @property
    def left(self) -> frozenset[Step]:
        """What has not been done yet."""
        return frozenset(self._left)

    def tick(self, step: Step) -> None:
        """Take one off the list."""
        if step in self._left:
            self._left.discard(step)
            self._show()
            if not self._left:
                self.finished.emit()

    def take_playing(self, playing: bool) -> None:
        if playing:
            self.tick(Step.PLAY)

    def take_change(self, change: Change) -> None:
        """Tick off what a change shows to have been tried."""
        step = step_tried(change)
        if step is not None:
            self.tick(step)

    def _show(self) -> None:
        colours = self._theme.colours
        for step, sign in self._signs.items():
            done = step not in self._left
            mark = icon(Icon.DONE, colours, on=colours.accent) if done else icon(Icon.TO_DO, colours, on=colours.muted)
            sign.setPixmap(mark.pixmap(SMALL_ICON, SMALL_ICON))
            words = self._words[step]
            words.setProperty("kind", "second" if done else "")
            words.setAccessibleDescription("done" if done else "to do")
            restyle(words)


def step_tried(change: Change) -> Step | None:
    """The first step that a change stands for, if any: a tag more, or an edge elsewhere."""
    before, put, drop = change.before.by_id, change.delta.put, change.delta.drop
    if any(tag.id not in before for tag in put):
        return Step.TAG
    both = [(before[tag.id], tag) for tag in put]
    moved = any(old.start != new.start or (old.end is not None and old.end != new.end) for old, new in both)
    return Step.CORRECT if moved and not drop else None
