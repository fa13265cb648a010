"""Walking over what the window tells screen readers, and over what Tab reaches."""

from collections.abc import Iterator

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget

Role = QAccessible.Role

CONTROLS = frozenset(
    (
        *(Role.Button, Role.ButtonMenu, Role.ButtonDropDown, Role.CheckBox, Role.RadioButton, Role.Link),
        *(Role.ComboBox, Role.EditableText, Role.SpinBox, Role.Slider, Role.ProgressBar),
        *(Role.List, Role.ListItem, Role.Table, Role.Tree, Role.TreeItem, Role.Cell, Role.MenuItem, Role.PageTab),
    )
)
"""Roles of what can be used or tells something that changes; each such thing needs a name."""

PARTS_OF_OTHERS = frozenset((Role.ScrollBar, Role.Grip, Role.Pane))
"""What Qt makes inside its own widgets, and what only the pointer needs."""


def of(widget: QWidget) -> QAccessibleInterface:
    found = QAccessible.queryAccessibleInterface(widget)
    assert found is not None, widget
    return found


def walk(one: QAccessibleInterface) -> Iterator[QAccessibleInterface]:
    """Everything that is seen, from the outside in."""
    if one.state().invisible or one.role() in PARTS_OF_OTHERS:
        return
    yield one
    # What stands inside a field or a list entry is drawn by Qt, and is the field itself to a screen reader.
    if one.role() not in (Role.ComboBox, Role.EditableText, Role.ListItem):
        for number in range(one.childCount()):
            inner = one.child(number)
            if inner is not None:
                yield from walk(inner)


def name_of(one: QAccessibleInterface) -> str:
    return one.text(QAccessible.Text.Name)


def nameless(root: QWidget) -> list[str]:
    """Controls that a screen reader could not call by a name."""
    controls = (one for one in walk(of(root)) if one.role() in CONTROLS)
    return [f"{one.role().name} at {one.rect()}, {one.object()}" for one in controls if not name_of(one)]


def without_purpose(root: QWidget) -> list[str]:
    """Choices that do not say what they are for: on Linux Qt calls them by what is chosen, so that takes more."""
    boxes = (one for one in walk(of(root)) if one.role() is Role.ComboBox)
    return [name_of(one) for one in boxes if not one.text(QAccessible.Text.Description)]


def tab_round(window: QWidget) -> list[QWidget]:
    """What Tab stops at, from what has the focus round to that again."""
    stops: list[QWidget] = []
    while (now := QApplication.focusWidget()) is not None and now not in stops:
        stops.append(now)
        assert len(stops) < 200, "Tab does not come round"
        QTest.keyClick(now, Qt.Key.Key_Tab)
        QApplication.processEvents()
    return stops


def scroll_to(widget: QWidget) -> None:
    """Bring a widget into sight, as Tab does."""
    around = widget.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(widget)
        around = around.parentWidget()
    QApplication.processEvents()


def seen(window: QWidget, widget: QWidget) -> QImage:
    """A widget as it is seen in the window, with a little of what is around."""
    area = QRect(widget.mapTo(window, widget.rect().topLeft()), widget.size()).adjusted(-2, -2, 2, 2)
    return window.grab(area).toImage()
