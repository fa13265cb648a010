"""The settings other than keys: look, speeds, vocabulary for new cases, cache."""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from annotator.desktop.preferences.cache_room import SIZES, Room, folder_within
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.speeds import FASTEST, MOST, SLOWEST, SPEEDS, read_speeds, write_speeds
from annotator.desktop.settings.vocabulary_box import VocabularyBox
from annotator.desktop.theme.theme import Choice
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import LineEdit, choices, label, plain_tip, restyle, word_button
from annotator.errors import AnnotatorError
from annotator.model.size import size_in_words

_THEMES = {Choice.SYSTEM: "Same as system", Choice.LIGHT: "Light", Choice.DARK: "Dark"}
_ON_SPEEDS = f"From {SLOWEST:g} to {FASTEST:g}, at most {MOST}; 1 is always one of them."
_ON_VOCABULARY = "An open case keeps its own; “Change vocabulary” in the menu gives it another one."
_ON_ROOM = "Thumbnails, sound and review copies. They are made again when they are needed."


class SettingsForm(QWidget):
    """Every change is put into the preferences at once.

    changed  the name of the preference that is another one now
    """

    changed = Signal(str)

    def __init__(self, preferences: Preferences, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._preferences = preferences
        self.theme = choices("Theme", list(_THEMES.values()))
        self.theme.activated.connect(self._set_theme)
        self.speeds = LineEdit()
        self.speeds.setAccessibleName("Speeds")
        self.speeds.editingFinished.connect(self._set_speeds)
        self.usual_speeds = word_button("Reset", self._usual_speeds, "Reset speeds")
        self.on_speeds = _hint(_ON_SPEEDS)
        self.vocabulary = VocabularyBox(preferences)
        self.vocabulary.chosen.connect(self._take_vocabulary)
        self.on_vocabulary = _hint("")
        self.folder = _hint("")
        self.folder.setAccessibleName("Folder of the cache")
        self.other_folder = word_button("Change folder…", self._choose_folder)
        self.usual_folder = word_button("Reset", self._usual_folder, "Reset folder")
        self.size_box = choices("Size of the cache", [])
        self.size_box.activated.connect(self._set_size)
        self.used = _hint("")
        self.empty = word_button("Clear", self._empty, "Clear cache")
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        _put(column, _heading("Theme", self.theme), self.theme, None)
        _put(column, _heading("Speeds", self.speeds), _row(self.speeds, self.usual_speeds), self.on_speeds, None)
        _put(column, _heading("Vocabulary for new cases", self.vocabulary), self.vocabulary, self.on_vocabulary)
        _put(column, _hint(_ON_VOCABULARY), None)
        _put(column, _heading("Cache", self.size_box), _hint(_ON_ROOM), self.folder)
        _put(column, _row(self.other_folder, self.usual_folder, None))
        _put(column, _row(self.size_box, self.empty), self.used)
        column.addStretch(1)

    def refresh(self) -> None:
        """Show what is set, and how much room is taken now."""
        self.show_theme()
        self._show_speeds()
        self.vocabulary.refresh()
        self._show_vocabulary()
        self._show_room()

    def show_theme(self) -> None:
        self.theme.setCurrentText(_THEMES[self._preferences.theme])

    # --- look and speeds ----------------------------------------------------------------------------------------

    def _set_theme(self) -> None:
        self._preferences.theme = list(_THEMES)[self.theme.currentIndex()]
        self.changed.emit("theme")

    def _set_speeds(self) -> None:
        try:
            wanted = read_speeds(self.speeds.text())
        except ValueError as error:
            _say(self.on_speeds, f"{error}. The speeds are as they were.", warns=True)
            return
        self._use_speeds(wanted)

    def _usual_speeds(self) -> None:
        self._use_speeds(SPEEDS)

    def _use_speeds(self, speeds: tuple[float, ...]) -> None:
        if speeds != self._preferences.speeds:
            self._preferences.speeds = speeds
            self.changed.emit("speeds")
        self._show_speeds()

    def _show_speeds(self) -> None:
        self.speeds.setText(write_speeds(self._preferences.speeds))
        _say(self.on_speeds, _ON_SPEEDS)
        self.usual_speeds.setEnabled(self._preferences.speeds != SPEEDS)

    # --- vocabulary ---------------------------------------------------------------------------------------------

    def _take_vocabulary(self) -> None:
        self._show_vocabulary()
        self.changed.emit("vocabulary")

    def _show_vocabulary(self) -> None:
        faults = self.vocabulary.faults
        _say(self.on_vocabulary, "\n".join(faults) or self.vocabulary.about, warns=bool(faults))

    # --- room ---------------------------------------------------------------------------------------------------

    def _show_room(self) -> None:
        room = Room.of(self._preferences)
        self.folder.setText(str(Path("…", *room.folder.parts[-2:])))
        self.folder.setToolTip(plain_tip(str(room.folder)))
        self.usual_folder.setEnabled(self._preferences.cache_folder is not None)
        kept = self._preferences.cache_bytes
        self.size_box.clear()
        self.size_box.addItem(f"Automatic ({size_in_words(room.suits())})", None)
        for size in sorted({*SIZES, *([kept] if kept else [])}):
            self.size_box.addItem(f"At most {size_in_words(size)}", size)
        self.size_box.setCurrentIndex(max(self.size_box.findData(kept), 0))
        used = room.used()
        _say(self.used, f"{size_in_words(used)} in use." if used else "The cache is empty.")
        self.empty.setEnabled(bool(used))

    def _set_size(self) -> None:
        self._preferences.cache_bytes = self.size_box.currentData()
        Room.of(self._preferences).keep_within()
        self._show_room()
        self.changed.emit("cache_bytes")

    def _choose_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Folder of the cache")
        if chosen:
            self.use_folder(folder_within(Path(chosen)))

    def _usual_folder(self) -> None:
        self.use_folder(None)

    def use_folder(self, folder: Path | None) -> None:
        """Keep things there from now on; what was kept where they were is taken away. None for the usual folder."""
        try:
            if folder is not None:
                Room(folder, 0).try_writing()
        except AnnotatorError as error:
            _say(self.used, f"{error}. The folder is as it was.", warns=True)
            return
        if folder != self._preferences.cache_folder:
            Room.of(self._preferences).empty()
            self._preferences.cache_folder = folder
            self.changed.emit("cache_folder")
        self._show_room()

    def _empty(self) -> None:
        Room.of(self._preferences).empty()
        self._show_room()


def _heading(text: str, of: QWidget) -> QLabel:
    """Also told to screen readers with the field that it is of."""
    made = label(text, "group")
    made.setBuddy(of)
    return made


def _hint(text: str) -> QLabel:
    made = label(text, "second")
    made.setWordWrap(True)
    return made


def _say(hint: QLabel, text: str, *, warns: bool = False) -> None:
    hint.setText(text)
    hint.setProperty("kind", "warning" if warns else "second")
    restyle(hint)


def _row(*widgets: QWidget | None) -> QHBoxLayout:
    """Side by side, the first as wide as it can be; None for a gap that takes what is left."""
    row = QHBoxLayout()
    row.setSpacing(2 * UNIT)
    for place, widget in enumerate(widgets):
        if widget is None:
            row.addStretch(1)
        else:
            row.addWidget(widget, int(place == 0 and None not in widgets))
    return row


def _put(column: QVBoxLayout, *parts: QWidget | QHBoxLayout | None) -> None:
    """Parts under one another; None for a gap."""
    for part in parts:
        if part is None:
            column.addSpacing(4 * UNIT)
        elif isinstance(part, QHBoxLayout):
            column.addLayout(part)
        else:
            column.addWidget(part)
