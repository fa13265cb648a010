"""The list of all commands and steps with their keys: to read, filter by words or keys, and select from."""

from typing import NamedTuple

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QKeySequence, QPainter
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from annotator.desktop.commands.actions import ACTIONS, MENUS, Keys, usual_key
from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import cap_width, focus_ring, key_cap, row_ground, write
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.row_model import ROLE, Index, RowModel
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary, label_in


class KeyRow(NamedTuple):
    """A group's heading, or a command or concept by its `name` with its keys as they are and as they usually are."""

    group: str
    text: str
    name: str = ""
    keys: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()

    @property
    def is_heading(self) -> bool:
        return not self.name

    @property
    def is_changed(self) -> bool:
        return self.keys != self.usual

    @property
    def caps(self) -> tuple[str, ...]:
        """The keys as this system writes them."""
        return tuple(native(key) for key in self.keys)

    @property
    def spoken(self) -> str:
        return f"{self.text}, {' or '.join(self.caps) or 'no key'}{', changed' if self.is_changed else ''}"


def native(key: str) -> str:
    """A key as this system writes it."""
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)


def key_rows(keys: Keys, vocabulary: Vocabulary | None) -> list[KeyRow]:
    """The commands by menu, then the concepts by facet, each group under its heading."""
    rows: list[KeyRow] = []
    for menu in MENUS:
        rows.append(KeyRow(menu, menu))
        here = [action for action in ACTIONS if action.menu == menu]
        rows += [KeyRow(menu, one.text.rstrip("…"), one.does, keys.of(one.does), one.keys) for one in here]
    if vocabulary is None:
        return rows
    title = label_in(vocabulary.title, DEFAULT_LANGUAGE)
    for facet in vocabulary.facets:
        group = f"{title}: {label_in(facet.label, DEFAULT_LANGUAGE)}"
        rows.append(KeyRow(group, group))
        concepts = vocabulary.in_facet(facet.name)
        rows += [KeyRow(group, one.label(), one.iri, keys.of(one.iri), usual_key(one)) for one in concepts]
    return rows


class KeyListModel(RowModel[KeyRow]):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._all: list[KeyRow] = []
        self.shown = []
        self._words = ""

    def spoken(self, row: KeyRow) -> str:
        return row.spoken

    def use(self, rows: list[KeyRow]) -> None:
        """Have these rows to show, as narrowed as before."""
        self._all = rows
        self.narrow(self._words)

    def narrow(self, words: str) -> None:
        """Show the rows that hold every word in their name, their group or their keys, with their headings."""
        self._words = words
        wanted = words.casefold().split()
        kept = [row for row in self._all if row.name and all(_holds(row, word) for word in wanted)]
        groups = {row.group for row in kept}
        self.show([row for row in self._all if (row.group in groups if row.is_heading else row in kept)])

    def place_of(self, name: str) -> int | None:
        return next((place for place, row in enumerate(self.shown) if name and row.name == name), None)

    def first(self) -> int | None:
        return next((place for place, row in enumerate(self.shown) if row.name), None)


def _holds(row: KeyRow, word: str) -> bool:
    return word in f"{row.text} {row.group}".casefold() or any(word == cap.casefold() for cap in row.caps)


class KeyList(QListView):
    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.rows = KeyListModel(self)
        self.setModel(self.rows)
        self.setAccessibleName("Commands and steps with their keys")
        self.setItemDelegate(_Lines(theme, self))
        self.setUniformItemSizes(True)
        self.setMouseTracking(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def selected(self) -> KeyRow | None:
        row = self.currentIndex().data(ROLE)
        return row if isinstance(row, KeyRow) and row.name else None

    def show_rows(self, rows: list[KeyRow]) -> None:
        """Show these; what was selected stays selected."""
        was = self.selected
        self.rows.use(rows)
        self.select(was.name if was else "")

    def narrow(self, words: str) -> None:
        was = self.selected
        self.rows.narrow(words)
        self.select(was.name if was else "")

    def select(self, name: str) -> None:
        """Choose a command or a concept; the first there is where it is not shown."""
        place = self.rows.place_of(name)
        place = self.rows.first() if place is None else place
        self.setCurrentIndex(self.rows.index(-1 if place is None else place))


class _Lines(QStyledItemDelegate):
    """Paints the words and, at the right, the keys; what is changed is said."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(200, ROW)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        row: KeyRow = index.data(ROLE)
        colours, area = self._theme.colours, option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not row.name:
            painter.setFont(typeface.small(strong=True))
            write(painter, area.adjusted(3 * UNIT, 2 * UNIT, 0, 0), row.text, colours.muted)
        else:
            row_ground(painter, option, colours)
            self._paint_command(painter, area, row)
            if option.state & QStyle.StateFlag.State_HasFocus:
                focus_ring(painter, area, colours)
        painter.restore()

    def _paint_command(self, painter: QPainter, area: QRect, row: KeyRow) -> None:
        colours = self._theme.colours
        right = area.right() - 3 * UNIT
        for cap in reversed(row.caps):
            width = max(21, cap_width(cap))
            key_cap(painter, QRect(right - width, area.top() + 3, width, 21), cap, colours)
            right -= width + UNIT
        painter.setFont(typeface.text())
        if row.is_changed:
            said = "changed"
            width = painter.fontMetrics().horizontalAdvance(said)
            write(painter, QRect(right - width - UNIT, area.top(), width + 1, area.height()), said, colours.muted)
            right -= width + 2 * UNIT
        left = area.left() + 3 * UNIT
        write(painter, QRect(left, area.top(), right - left - UNIT, area.height()), row.text, colours.text)
