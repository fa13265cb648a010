"""Step list, picture and side panel side by side; the outer two fold to thin strips of icons."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import icon_button

_SHEET, _PICTURE, _SIDE = 256, 832, 352
"""Widths in pixels at first; what the window has more or less is the picture's."""

_SHEET_LEAST, _SIDE_LEAST = 216, 320
_STRIP = 44


class Columns(QWidget):
    """What the user folds stays folded, also the next time; what a command needs opens until it is done."""

    def __init__(
        self,
        sheet: QWidget,
        picture: QWidget,
        side: QWidget,
        actions: Mapping[str, QAction],
        preferences: Preferences,
    ) -> None:
        super().__init__()
        self._preferences = preferences
        self._sheet, self._picture, self._side = sheet, picture, side
        self.sheet_strip = _strip("right", [actions[does] for does in ("fold_sheet", "find_step")])
        to_side = ("fold_side", "go_to_place", "show_findings", "show_summary", "show_comparison", "show_publish")
        self.side_strip = _strip("left", [actions[does] for does in to_side])
        sheet.setMinimumWidth(_SHEET_LEAST)
        side.setMinimumWidth(_SIDE_LEAST)
        middle = QSplitter()
        middle.setHandleWidth(1)
        middle.setChildrenCollapsible(False)
        for place, part in enumerate((sheet, picture, side)):
            middle.addWidget(part)
            middle.setStretchFactor(place, int(part is picture))
        middle.setSizes([_SHEET, _PICTURE, _SIDE])
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.sheet_strip)
        row.addWidget(middle, 1)
        row.addWidget(self.side_strip)
        self.settle()

    @property
    def from_left(self) -> tuple[QWidget, ...]:
        """Its parts in the order in which they are read."""
        return self.sheet_strip, self._sheet, self._picture, self._side, self.side_strip

    @property
    def sheet_is_folded(self) -> bool:
        return self._sheet.isHidden()

    @property
    def side_is_folded(self) -> bool:
        return self._side.isHidden()

    def fold_sheet(self) -> None:
        """Fold the step list, or open it."""
        self._preferences.sheet_is_folded = not self.sheet_is_folded
        self._show_sheet(self.sheet_is_folded)

    def fold_side(self) -> None:
        """Fold the side panel, or open it."""
        self._preferences.side_is_folded = not self.side_is_folded
        self._show_side(self.side_is_folded)

    def open_sheet(self) -> None:
        """Show the step list for now."""
        self._show_sheet(True)

    def put_sheet_away(self) -> None:
        """Hide the step list for now, to leave its room to the picture."""
        self._show_sheet(False)

    def settle_sheet(self) -> None:
        """Fold the step list if the user wants it folded."""
        self._show_sheet(not self._preferences.sheet_is_folded)

    def open_side(self) -> None:
        """Show the side panel for now."""
        self._show_side(True)

    def settle(self) -> None:
        """Fold what the user wants to be folded."""
        self.settle_sheet()
        self._show_side(not self._preferences.side_is_folded)

    def _show_sheet(self, shown: bool) -> None:
        _change(self._sheet, self.sheet_strip, shown)

    def _show_side(self, shown: bool) -> None:
        _change(self._side, self.side_strip, shown)


def _change(panel: QWidget, strip: QWidget, shown: bool) -> None:
    """Show the panel or its strip. What has the focus gives it back, or Qt would hand it to whatever comes next."""
    gone = strip if shown else panel
    focused = gone.focusWidget()
    if focused is not None:
        focused.clearFocus()
    panel.setVisible(shown)
    strip.setVisible(not shown)


def _strip(edge: str, actions: Sequence[QAction]) -> QFrame:
    made = QFrame()
    made.setProperty("kind", "side")
    made.setProperty("edge", edge)
    made.setFixedWidth(_STRIP)
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 2 * UNIT, 0, 2 * UNIT)
    column.setSpacing(UNIT)
    for action in actions:
        column.addWidget(icon_button(action, rank="quiet"), 0, Qt.AlignmentFlag.AlignHCenter)
    column.addStretch(1)
    return made
