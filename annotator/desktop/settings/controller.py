"""Applies settings for look and keys, at the start and whenever one changes, and fills their page."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog

from annotator.desktop.commands.actions import Changed, Keys
from annotator.desktop.commands.command_set import CommandSet
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.settings import key_page
from annotator.desktop.settings.key_changes import sound
from annotator.desktop.settings.key_list import KeyRow, key_rows
from annotator.desktop.settings.page import SettingsPage
from annotator.desktop.theme.theme import Theme
from annotator.errors import AnnotatorError
from annotator.model.vocabulary import Vocabulary
from annotator.store.vocabularies import find

_MOST_FAULTS = 4
"""Sentences about damaged settings that are shown; the rest are only counted."""


class SettingsController(QObject):
    """changed  the name of the preference that is another one now
    said     a line for the user, and whether it is a warning
    """

    changed = Signal(str)
    said = Signal(str, bool)

    def __init__(self, preferences: Preferences, theme: Theme, commands: CommandSet, parent: QObject) -> None:
        super().__init__(parent)
        self._preferences = preferences
        self._theme = theme
        self._commands = commands
        self.page = SettingsPage(preferences, theme)
        self.page.form.changed.connect(self._use)
        self.page.keys.keys_changed.connect(self._use_keys)
        self.page.keys.single_keys_switched.connect(self._use_single_keys)
        kept = sound(preferences.keys)
        commands.use_changed_keys(kept.keys)
        commands.use_single_keys(preferences.single_keys)
        damaged = [f"The setting “{name}” can't be read and is as at first." for name in preferences.damaged()]
        self.faults = _few([*damaged, *kept.faults])
        """What of the kept settings can't be used, in sentences; empty where all can."""

    def refresh(self) -> None:
        """Fill the page."""
        self.page.say(self.faults)
        self.page.form.refresh()
        self.page.keys.show_single_keys(self._preferences.single_keys)
        self._show_keys()

    def toggle_theme(self) -> None:
        self._theme.toggle()
        self._preferences.theme = self._theme.choice
        self.page.form.show_theme()
        self._tell("theme")

    def toggle_single_keys(self) -> None:
        self._use_single_keys(not self._preferences.single_keys)
        self.page.keys.show_single_keys(self._preferences.single_keys)

    def write_key_page(self) -> None:
        """Ask for a name, and write all keys as they are now for printing."""
        chosen, _ = QFileDialog.getSaveFileName(self.page.window(), "Page of keys", "keys.html", "Web page (*.html)")
        if not chosen:
            return
        try:
            key_page.write(Path(chosen), key_page.dumps(self._commands.keys, self._commands.vocabulary))
        except AnnotatorError as error:
            self.said.emit(str(error), True)
        else:
            self.said.emit(f"Saved: {chosen}", False)

    def _use(self, name: str) -> None:
        if name == "theme":
            self._theme.choose(self._preferences.theme)
        if name == "vocabulary":
            self._show_keys()
        self._tell(name)

    def _use_keys(self, changed: Changed) -> None:
        self._preferences.keys = changed
        self._commands.use_changed_keys(changed)
        self._show_keys()
        self._tell("keys")

    def _use_single_keys(self, on: bool) -> None:
        self._preferences.single_keys = on
        self._commands.use_single_keys(on)
        self._tell("single_keys")

    def _tell(self, name: str) -> None:
        if not self._preferences.are_written():
            file = self._preferences.settings.fileName()
            self.page.say(f"{file} can't be written to; the settings hold until the window is closed.")
        self.changed.emit(name)

    def key_rows(self) -> list[KeyRow]:
        """All keys as they are now."""
        return key_rows(*self._keys())

    def _show_keys(self) -> None:
        self.page.keys.show_keys(*self._keys(), sound(self._preferences.keys).keys)

    def _keys(self) -> tuple[Keys, Vocabulary | None]:
        """With those of the open case's steps; without a case, of those that a new one would have."""
        vocabulary = self._commands.vocabulary or self._of_new_cases()
        return self._commands.shared_out_for(vocabulary), vocabulary

    def _of_new_cases(self) -> Vocabulary | None:
        try:
            return find(self._preferences.vocabulary)
        except AnnotatorError:
            return None


def _few(sentences: list[str]) -> str:
    left = len(sentences) - _MOST_FAULTS
    return "\n".join([*sentences[:_MOST_FAULTS], *([f"And {left} more."] if left > 0 else [])])
