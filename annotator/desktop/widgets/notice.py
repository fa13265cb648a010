"""Notices below the top bar for states that last: read only, recording missing, recovered, no sound, disk full."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import button, label, word_button
from annotator.desktop.widgets.focus import give_up_focus

MOST = 3
"""Lines that are seen at once; the others are a click away."""


class Notices(QFrame):
    """Shows each state as a sign, a sentence and what can be done about it; hidden while there is none."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self._theme = theme
        self._shown: list[_Notice] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(4 * UNIT, UNIT, 3 * UNIT, UNIT)
        self._column.setSpacing(UNIT)
        self._shows_all = False
        self.more = word_button("", self._show_all)
        self.more.setProperty("rank", "quiet")
        self._column.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        self.hide()
        theme.changed.connect(self._paint_icons)

    @property
    def texts(self) -> list[str]:
        """The sentences, those too that are a click away."""
        return [one.says for one in self._shown]

    def add(
        self, sign: Icon, says: str, offers: Sequence[QAction] = (), *, about: str = "", can_wait: bool = False
    ) -> None:
        """Show a state with a button for each action that is offered. One without any needs nothing to be done, and
        can be put away, as can one that can wait. `about` names what it is about: of that only the last is shown.
        """
        if says in self.texts:
            return
        before = next((one for one in self._shown if about and one.about == about), None)
        notice = _Notice(sign, says, offers, about, can_wait=can_wait)
        notice.put_away.connect(self._drop)
        self._column.insertWidget(self._shown.index(before) if before else len(self._shown), notice)
        if before is None:
            self._shown.append(notice)
        else:
            self._shown[self._shown.index(before)] = notice
            _end(before)
        self._paint_icons()
        self._fit()
        self.show()

    def remove(self, about: str) -> None:
        """The state is no more."""
        for one in self._shown:
            if one.about == about:
                self._take_out(one)
                return

    def _drop(self) -> None:
        notice = self.sender()
        if isinstance(notice, _Notice):
            self._take_out(notice)

    def _take_out(self, notice: "_Notice") -> None:
        self._shown.remove(notice)
        _end(notice)
        self._fit()
        self.setVisible(bool(self._shown))

    def _show_all(self) -> None:
        self._shows_all = True
        self._fit()

    def _fit(self) -> None:
        """Leave the picture its room: of many lines those that offer something come first, then the newest."""
        self._shows_all = self._shows_all and len(self._shown) > MOST
        by_weight = sorted(enumerate(self._shown), key=lambda one: (one[1].offers_something, one[0]))
        hidden = [] if self._shows_all else [notice for _, notice in by_weight[:-MOST]]
        for notice in self._shown:
            notice.setVisible(notice not in hidden)
        self.more.setText(f"And {len(hidden)} more")
        self.more.setAccessibleName(f"Show {len(hidden)} more lines")
        if not hidden:
            give_up_focus(self.more)
        self.more.setVisible(bool(hidden))

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for one in self._shown:
            colour = {Icon.DONE: colours.accent, Icon.NO_SOUND: colours.muted}.get(one.sign, colours.warning)
            one.mark.setPixmap(icon(one.sign, colours, on=colour).pixmap(SMALL_ICON, SMALL_ICON))
            one.close_button.setIcon(icon(Icon.CLOSE, colours))


class _Notice(QWidget):
    """put_away  its user has read it"""

    put_away = Signal()

    def __init__(self, sign: Icon, says: str, offers: Sequence[QAction], about: str, *, can_wait: bool) -> None:
        super().__init__()
        self.sign, self.says, self.about, self.offers_something = sign, says, about, bool(offers)
        self.mark, words = QLabel(), label(says)
        words.setWordWrap(True)
        # Or a long name, which has no place to wrap at, would widen the window.
        words.setMinimumSize(60 * UNIT, 7 * UNIT)
        self.close_button = QToolButton()
        self.close_button.setProperty("kind", "small")
        self.close_button.setProperty("rank", "quiet")
        self.close_button.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self.close_button.setFixedSize(7 * UNIT, 7 * UNIT)
        self.close_button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.close_button.setToolTip("Dismiss")
        self.close_button.setAccessibleName(f"Dismiss: {says}")
        self.close_button.clicked.connect(self.put_away)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(self.mark)
        row.addWidget(words, 1)
        for offer in offers:
            row.addWidget(button(offer))
        row.addWidget(self.close_button)
        self.close_button.setVisible(can_wait or not offers)


def _end(notice: _Notice) -> None:
    """Later, as one of its own buttons may have asked for it."""
    give_up_focus(notice)
    notice.hide()
    notice.deleteLater()
