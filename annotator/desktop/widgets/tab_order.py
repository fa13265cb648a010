"""The order in which Tab goes through the window: reading order, whatever was built first."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


def order_tabs(regions: Iterable[QWidget]) -> None:
    """Let Tab go through one region after the other; within each the order stays as it is."""
    for before, after in pairwise([stop for region in regions for stop in _stops(region)]):
        QWidget.setTabOrder(before, after)


def _stops(region: QWidget) -> Iterator[QWidget]:
    """What Tab can stop at in a region, itself included, in the order that Qt has."""
    widget: QWidget | None = region
    while widget is not None:
        if (widget is region or region.isAncestorOf(widget)) and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            yield widget
        widget = widget.nextInFocusChain()
        if widget is region:
            return
