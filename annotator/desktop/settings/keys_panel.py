"""The settings for keys: find a command, press its new key; a key in use says by what."""

from collections.abc import Iterator, Sequence
from enum import IntEnum

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from annotator.desktop.commands.actions import BY_NAME, Changed, Keys, is_single
from annotator.desktop.settings.key_catcher import KeyCatcher
from annotator.desktop.settings.key_changes import as_usual, given, refusal, without_keys
from annotator.desktop.settings.key_list import KeyList, KeyRow, key_rows, native
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import LineEdit, label, let_clear, restyle, word_button
from annotator.desktop.widgets.shortcut_menu import Choice, ItemMenu
from annotator.model.vocabulary import Vocabulary


class _Asks(IntEnum):
    """What the lower part is for: to choose what to do, to press a key, to decide about one that is taken."""

    WHAT = 0
    KEY = 1
    WHETHER = 2


class KeysPanel(QWidget):
    """Changes nothing itself.

    keys_changed         all the changes as they should be from now on
    single_keys_switched  whether letters, figures and signs alone are keys
    """

    keys_changed = Signal(object)
    single_keys_switched = Signal(bool)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._changed: Changed = {}
        self._keys = Keys({}, {}, ())
        self._vocabulary: Vocabulary | None = None
        self._beside = False
        self._wanted = ""
        self._asking = _Asks.WHAT
        self.single = QCheckBox("Single-key shortcuts: letters, digits and signs work without Ctrl or Alt")
        self.single.setAccessibleName("Single-key shortcuts")
        self.single.toggled.connect(self._switch_single)
        self.field = LineEdit()
        self.field.setPlaceholderText("Find a command, a step or a key…")
        self.field.setAccessibleName("Find a command, a step or a key")
        let_clear(self.field, theme)
        self.list = KeyList(theme)
        self.field.textChanged.connect(self.list.narrow)
        self.field.returnPressed.connect(self.list.setFocus)
        self.list.activated.connect(self._ask_key)
        self.list.selectionModel().currentChanged.connect(self._show_chosen)
        self.list.rows.modelReset.connect(self._show_chosen)
        self.about = label("")
        self.about.setWordWrap(True)
        self.catcher = KeyCatcher()
        self.catcher.caught.connect(self._take)
        self.catcher.given_up.connect(self._give_up)
        self.catcher.left.connect(self._take_leaving)
        self.change = word_button("Change…", self._ask_key, "Change the key")
        self.add = word_button("Add…", self._ask_another, "Add a key")
        self.none = word_button("No key", self._take_away)
        self.usual = word_button("Reset", self._back, "Reset key")
        self.all_usual = word_button("Reset all", self._all_back, "Reset all keys")
        self.give = word_button("Give it to this command", self._give)
        self.leave = word_button("Leave it there", self._give_up)
        ItemMenu(self.list, lambda _index: map(Choice.of, (self.change, self.add, self.none, self.usual)))
        self._asks = QStackedWidget()
        self._lay_out()

    def _lay_out(self) -> None:
        pages: Sequence[Sequence[QWidget | None]] = [
            [self.change, self.add, self.none, self.usual, None, self.all_usual],
            [self.catcher, word_button("Leave it", self._give_up), None],
            [self.give, self.leave, None],
        ]
        for widgets in pages:
            page = QWidget()
            row = QHBoxLayout(page)
            row.setContentsMargins(0, 0, 0, 0)
            row.setSpacing(2 * UNIT)
            for widget in widgets:
                if widget is None:
                    row.addStretch(1)
                else:
                    row.addWidget(widget)
            self._asks.addWidget(page)
        self._asks.setSizePolicy(self._asks.sizePolicy().horizontalPolicy(), QSizePolicy.Policy.Fixed)
        self.about.setMinimumHeight(36)
        self.about.setAlignment(Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * UNIT)
        column.addWidget(label("Keyboard shortcuts", "group"))
        column.addWidget(self.single)
        column.addWidget(self.field)
        column.addWidget(self.list, 1)
        column.addWidget(self.about)
        column.addWidget(self._asks)

    def show_keys(self, keys: Keys, vocabulary: Vocabulary | None, changed: Changed) -> None:
        """Show who has which keys, and keep `changed` for the next change."""
        self._keys, self._vocabulary, self._changed = keys, vocabulary, changed
        self.list.show_rows(key_rows(keys, vocabulary))
        self.all_usual.setEnabled(bool(changed))

    def show_single_keys(self, on: bool) -> None:
        self.single.setChecked(on)

    def _switch_single(self, on: bool) -> None:
        self.single_keys_switched.emit(on)
        self._show_chosen()

    # --- asking ----------------------------------------------------------------------------------------------

    def _show_chosen(self) -> None:
        self._ask(_Asks.WHAT)
        row = self.list.selected
        for one in (self.change, self.add, self.none, self.usual):
            one.setEnabled(row is not None)
        if row is None:
            self._say("Nothing here is called so, nor has such a key.")
            return
        has = " or ".join(row.caps) or "no key"
        notes = list(self._notes(row))
        self._say(f"{row.text}: {has}" + (f" ({'; '.join(notes)})" if notes else ""))
        self.add.setEnabled(row.name in BY_NAME)
        self.none.setEnabled(bool(row.keys))
        self.usual.setEnabled(row.name in self._changed)

    def _notes(self, row: KeyRow) -> Iterator[str]:
        """What there is to say of the keys of a command, beside them."""
        if row.is_changed:
            yield f"usually {' or '.join(map(native, row.usual)) or 'no key'}"
        for key in row.usual:
            holder = self._keys.holder(key)
            if holder is not None and holder != row.name:
                yield f"{native(key)} is the key of “{self._called(holder)}” now"
        if any(map(is_single, row.keys)) and not self.single.isChecked():
            yield "off, as all single keys are"

    def _ask(self, what: _Asks) -> None:
        # Known before the page is turned: that takes the focus from the field for a key.
        self._asking = what
        self._asks.setCurrentIndex(what)

    def _say(self, text: str, *, warns: bool = False) -> None:
        self.about.setText(text)
        self.about.setProperty("kind", "warning" if warns else "")
        restyle(self.about)

    def _ask_key(self) -> None:
        self._begin(beside=False)

    def _ask_another(self) -> None:
        self._begin(beside=True)

    def _begin(self, *, beside: bool) -> None:
        row = self.list.selected
        if row is not None:
            self._beside = beside
            self._say(f"Press the new key for “{row.text}”. Escape leaves it as it is.")
            self._ask(_Asks.KEY)
            self.catcher.catch(row.text)

    def _take(self, key: str) -> None:
        """A key was pressed: use it, say why not, or say whose it is and ask."""
        row = self.list.selected
        if row is None:
            return
        why, holder = refusal(key, row.usual), self._keys.holder(key)
        if why:
            self._say(f"{native(key)} can't be a key here: {why}. Press another one; Escape leaves it.", warns=True)
            self.catcher.catch(row.text)
        elif holder is None or holder == row.name:
            self._use(row, key)
        else:
            self._wanted = key
            self._say(f"{native(key)} is the key of “{self._called(holder)}”. Nothing has changed yet.", warns=True)
            self.give.setText(f"Give it to “{row.text}”")
            self.give.setAccessibleName(self.give.text())
            self._ask(_Asks.WHETHER)
            self.give.setFocus()

    def _give_up(self) -> None:
        """Everything stays as it is."""
        self._show_chosen()
        self.list.setFocus()

    def _take_leaving(self) -> None:
        if self._asking == _Asks.KEY:
            self._show_chosen()

    def _give(self) -> None:
        row = self.list.selected
        if row is not None:
            self._use(row, self._wanted)

    # --- changing ---------------------------------------------------------------------------------------------

    def _use(self, row: KeyRow, key: str) -> None:
        self._change(given(self._changed, self._keys, row.name, key, beside=self._beside))

    def _take_away(self) -> None:
        row = self.list.selected
        if row is not None:
            self._change(without_keys(self._changed, row.name))

    def _back(self) -> None:
        row = self.list.selected
        if row is not None:
            self._change(as_usual(self._changed, row.name))

    def _all_back(self) -> None:
        self._change({})

    def _change(self, changed: Changed) -> None:
        self._ask(_Asks.WHAT)
        self.list.setFocus()
        self.keys_changed.emit(changed)

    def _called(self, name: str) -> str:
        if name in BY_NAME:
            return BY_NAME[name].text.rstrip("…")
        concept = self._vocabulary.concept(name) if self._vocabulary else None
        return concept.label() if concept else "another step"
