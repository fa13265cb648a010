"""The table of actions as Qt's actions, and the keys of the vocabulary: enabled, named, and switched in one place."""

from collections.abc import Callable, Mapping, Sequence, Set
from functools import partial

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from annotator.desktop.commands.actions import (
    ACTIONS,
    BORROWERS,
    BY_NAME,
    ENDS_GROUP,
    IN_TROUBLE,
    MENUS,
    Changed,
    Keys,
    State,
    is_single,
    shared_out,
)
from annotator.desktop.commands.search import OTHER_WORDS
from annotator.desktop.theme.icons import icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.controls import tip, without_argument
from annotator.model.vocabulary import Vocabulary
from annotator.plain_text import plain

_MOST_SAID = 60
"""Characters of what a command is about; a menu must not grow as wide as the window."""


class CommandSet(QObject):
    """tagged        the IRI of the concept whose key was pressed
    keys_changed  some command or step has other keys
    """

    tagged = Signal(str)
    keys_changed = Signal()

    def __init__(self, window: QWidget, theme: Theme) -> None:
        super().__init__(window)
        self._window = window
        self._theme = theme
        self._state = State()
        self._typing = False
        self._needed: frozenset[str] = frozenset()
        self.single_keys = True
        self.vocabulary: Vocabulary | None = None
        self._changed: Changed = {}
        self.actions: Mapping[str, QAction] = {
            action.does: self._made(action.text, OTHER_WORDS.get(action.does, "")) for action in ACTIONS
        }
        self.functions: Mapping[str, Callable[[], object]] = {}
        for does, made in self.actions.items():
            made.setCheckable(BY_NAME[does].is_switch)
            made.triggered.connect(without_argument(partial(self._carry_out, does)))
        self._concept_actions: list[QAction] = []
        theme.changed.connect(self._paint_icons)
        self._paint_icons()
        self._share_out()

    def use_functions(self, functions: Mapping[str, Callable[[], object]]) -> None:
        """Let these carry out the commands, by their ids; a command without a function does nothing."""
        self.functions = functions

    def use_vocabulary(self, vocabulary: Vocabulary | None) -> None:
        """Give the concepts of a case their keys."""
        self.vocabulary = vocabulary
        for old in self._concept_actions:
            self._window.removeAction(old)
            old.deleteLater()
        self._concept_actions = []
        for concept in vocabulary.concepts if vocabulary else ():
            # In the text of an action, `&` marks the next letter.
            made = self._made(concept.label().replace("&", "&&"), "\n".join(concept.names()))
            made.setData(concept.iri)
            made.triggered.connect(self._tag)
            self._concept_actions.append(made)
        self._share_out()

    def use_changed_keys(self, changed: Changed) -> None:
        """Give commands and steps the keys that the user wants."""
        self._changed = changed
        self._share_out()

    def shared_out_for(self, vocabulary: Vocabulary | None) -> Keys:
        """The keys as they would be in a case with this vocabulary."""
        return shared_out(ACTIONS, vocabulary, self._changed)

    def use_state(self, state: State) -> None:
        before, self._state = self._state, state
        self._say_what("undo", state.undoes)
        self._say_what("redo", state.redoes)
        if before != state._replace(undoes=before.undoes, redoes=before.redoes):  # no rule asks for these two
            self._apply()

    def use_focus(self, typing: bool, needed: frozenset[str]) -> None:
        """While text is typed single keys are off, and so is always what the widget with the focus needs."""
        if (typing, needed) != (self._typing, self._needed):
            self._typing, self._needed = typing, needed
            self._apply()

    def use_single_keys(self, on: bool) -> None:
        self.single_keys = on
        self._apply()

    def menu(self, parent: QWidget) -> QMenu:
        """All actions by menu."""
        whole = QMenu(parent)
        for name in MENUS:
            part = whole.addMenu(name)
            part.aboutToShow.connect(partial(self._fill, part, name))
            self._fill(part, name)
        return whole

    def _fill(self, menu: QMenu, name: str) -> None:
        """Offer what the menu has now, in its groups."""
        menu.clear()
        for does in (one.does for one in ACTIONS if one.menu == name):
            if does not in IN_TROUBLE or self.actions[does].isEnabled():
                menu.addAction(self.actions[does])
            if does in ENDS_GROUP[name]:
                menu.addSeparator()

    def tagging(self, concept: str) -> QAction:
        """What tags with a concept of the open case, by its IRI."""
        return next(action for action in self._concept_actions if action.data() == concept)

    def all(self) -> list[QAction]:
        """Everything that can be done, for the command palette."""
        return [*self.actions.values(), *self._concept_actions]

    def _made(self, text: str, also: str) -> QAction:
        made = QAction(text, self._window)
        made.setProperty("also", also)
        made.setAutoRepeat(False)
        made.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        self._window.addAction(made)
        return made

    def _say_what(self, does: str, about: str) -> None:
        """Name what a command would be done to, behind its own words."""
        usual, action = BY_NAME[does].text, self.actions[does]
        words = plain(about, _MOST_SAID)
        # In the text of an action, `&` marks the next letter.
        text = f"{usual}: {words[:1].upper()}{words[1:]}".replace("&", "&&") if words else usual
        if action.text() != text:
            action.setText(text)
            action.setToolTip(tip(action))

    def _share_out(self) -> None:
        self.keys: Keys = self.shared_out_for(self.vocabulary)
        for does, action in self.actions.items():
            _note_keys(action, self.keys.of(does))
        for action in self._concept_actions:
            _note_keys(action, self.keys.of(action.data()))
        self._apply()
        self.keys_changed.emit()

    def _apply(self) -> None:
        for does, action in self.actions.items():
            action.setEnabled(BY_NAME[does].when(self._state))
        lent = {key for does in BORROWERS if self.actions[does].isEnabled() for key in self.keys.of(does)}
        for does, action in self.actions.items():
            self._set_keys(action, without=frozenset() if does in BORROWERS else lent)
        for action in self._concept_actions:
            action.setEnabled(self._state.writable)
            # Whatever key a step has been given, it tags nothing while somebody types.
            self._set_keys(action, off=self._typing)

    def _set_keys(self, action: QAction, *, off: bool = False, without: Set[str] = frozenset()) -> None:
        live = (key for key in action.property("keys") if self._is_live(key) and key not in without)
        wanted = [] if off else [QKeySequence(key) for key in live]
        if action.shortcuts() != wanted:
            action.setShortcuts(wanted)

    def _is_live(self, key: str) -> bool:
        if is_single(key) and (self._typing or not self.single_keys):
            return False
        return key not in self._needed

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for does, action in self.actions.items():
            sign = BY_NAME[does].icon
            if sign is not None:
                action.setIcon(icon(sign, colours))

    def _carry_out(self, does: str) -> None:
        function = self.functions.get(does)
        if function is not None:
            function()

    def _tag(self) -> None:
        pressed = self.sender()
        if isinstance(pressed, QAction):
            self.tagged.emit(str(pressed.data()))


def _note_keys(action: QAction, keys: Sequence[str]) -> None:
    """All keys, also those that are off now; the tip, which names the first, tells buttons of the change."""
    action.setProperty("keys", list(keys))
    action.setToolTip(tip(action))
