"""The page that puts the recordings of an operation in order: before a case is made of them, and later in it."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.editing.opening import RECORDING_FILES
from annotator.desktop.start.recording_list import Entry, RecordingList
from annotator.desktop.start.recording_reader import RecordingReader
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox, label, word_button
from annotator.desktop.widgets.kinds import offer_kinds
from annotator.desktop.widgets.labels import WrappedLabel
from annotator.desktop.widgets.shortcut_menu import Choice, ItemMenu, MenuItem
from annotator.desktop.widgets.system import open_path
from annotator.model.recording import Recording
from annotator.model.timecode import span
from annotator.model.vocabulary import Kind
from annotator.workflow.cases_of import beside
from annotator.workflow.recording_files import in_natural_order

_WIDTH = 760


class RecordingsPage(QWidget):
    """one_operation  the paths, in order, of which one case is to be made
    one_each       the paths of which a case each is to be made
    put_in_order   the Recordings, in order, that the open case is to have
    kind_of_new    the name of the kind of operation that was selected, empty for none: of the case to be made
    kind_of_case   the same of the open case
    left           the user has thought better of it
    """

    one_operation = Signal(object)
    one_each = Signal(object)
    put_in_order = Signal(object)
    kind_of_new = Signal(str)
    kind_of_case = Signal(str)
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName("Recordings")
        self._of_case = False
        self.list = RecordingList(theme)
        self._reader = RecordingReader(self)
        self._headline = label("", "headline")
        self._second = label("", "second")
        self.says = label("", "second")
        self.says.setWordWrap(True)
        self.left_out = WrappedLabel("warning")
        self.add_more = word_button("Add…", self._choose_more, "Add recordings")
        self.remove = word_button("Remove", self._remove, "Remove from the list (Delete)")
        self.up = word_button("Move up", lambda: self.list.move_current(-1), "Move up (Alt+Up)")
        self.down = word_button("Move down", lambda: self.list.move_current(1), "Move down (Alt+Down)")
        self.by_name = word_button("Sort by name", self._sort)
        self.use = word_button("", self._use)
        self.use.setProperty("rank", "main")
        self.each = word_button("One case each", lambda: self.one_each.emit(self._paths))
        self.kind = ChoiceBox("Kind of operation")
        self.kind.setToolTip("Kind of operation: which steps, instruments and events are shown first")
        self.kind.activated.connect(self._tell_kind)
        self.cancel = word_button("Cancel", self._leave)
        self._lay_out()
        self._join()
        self._show()

    def _lay_out(self) -> None:
        moves, ends = QHBoxLayout(), QHBoxLayout()
        for row, buttons in ((moves, self._moving), (ends, (self.use, self.each, self.kind))):
            row.setSpacing(2 * UNIT)
            for made in buttons:
                row.addWidget(made)
            row.addStretch(1)
        moves.addWidget(self.by_name)
        ends.addWidget(self.cancel)
        inside = QWidget()
        inside.setMaximumWidth(_WIDTH)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 6 * UNIT, 0, 6 * UNIT)
        column.setSpacing(2 * UNIT)
        column.addWidget(self._headline)
        column.addWidget(self._second)
        column.addSpacing(UNIT)
        column.addWidget(self.list, 1)
        column.addLayout(moves)
        column.addWidget(self.left_out)
        column.addWidget(self.says)
        column.addSpacing(UNIT)
        column.addLayout(ends)
        around = QHBoxLayout(self)
        around.setContentsMargins(6 * UNIT, 0, 6 * UNIT, 0)
        around.addStretch(1)
        around.addWidget(inside, 100)
        around.addStretch(1)

    @property
    def _moving(self) -> tuple[QWidget, ...]:
        return self.add_more, self.remove, self.up, self.down

    def _join(self) -> None:
        self.list.arranged.connect(self._show)
        self.list.currentRowChanged.connect(self._show)
        ItemMenu(self.list, self._offers)
        self._reader.found.connect(self._take_found)
        self._reader.not_found.connect(self._take_not_found)
        self._reader.read.connect(self._take)
        self._reader.failed.connect(self._take_fault)
        self._reader.progressed.connect(self._take_progress)
        keys = {"Alt+Up": self.up, "Alt+Down": self.down, "Delete": self.remove, "Escape": self.cancel}
        for key, button in keys.items():
            by_key = QAction(self)
            by_key.setShortcut(key)
            by_key.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            by_key.triggered.connect(button.click)
            self.addAction(by_key)

    # --- what it begins with -------------------------------------------------------------------------------------

    def begin(self, paths: Sequence[Path], kept_in: Path | None, left_out: str = "") -> None:
        """Show recordings of which there is no case yet; `left_out` says what was named with them."""
        self._headline.setText("One operation, in this order?")
        self._second.setText("The recordings play as one, from first to last. They are only read.")
        self._begin([Entry(path) for path in paths], beside(paths[0]), kept_in)
        self.left_out.say(left_out)

    def begin_with_case(
        self, held: Sequence[Entry], more: Sequence[Path], case_path: Path, kept_in: Path | None
    ) -> None:
        """Show those of the open case, and further ones to be added to it."""
        self._headline.setText("The recordings of this case")
        self._second.setText("Each tag stays on its recording. You can undo this.")
        self._begin([*held, *map(Entry, more)], case_path, kept_in, of_case=True)

    def show_kinds(self, kinds: Iterable[Kind], selected: str) -> None:
        """Offer the kinds of a vocabulary, with one selected by its name or none; nothing where there are none."""
        offer_kinds(self.kind, kinds)
        self.kind.setCurrentIndex(max(self.kind.findData(selected), 0))
        self.kind.setVisible(self.kind.count() > 1)

    def _tell_kind(self) -> None:
        (self.kind_of_case if self._of_case else self.kind_of_new).emit(str(self.kind.currentData()))

    def _begin(self, entries: Sequence[Entry], case_path: Path, kept_in: Path | None, *, of_case: bool = False) -> None:
        self._of_case = of_case
        self.left_out.say("")
        self.use.setText("Use these recordings" if of_case else "One operation")
        self.each.setVisible(not of_case)
        self._reader.begin(case_path, kept_in)
        self.list.show_entries(entries)
        for entry in entries:
            self._read(entry)

    def add(self, paths: Sequence[Path], left_out: str = "") -> None:
        """Add recordings, or those of folders, at the end; one that is in the list already stays where it is."""
        self.left_out.say(left_out)
        if paths:
            self._reader.look_for(paths)
        self._show()

    def close_down(self) -> None:
        """Nothing is read any more once this returns."""
        self._reader.close_down()

    def stop(self) -> None:
        """Nothing that is read is wanted any more."""
        self._reader.stop()

    def take_focus(self) -> None:
        """Begin in the list."""
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    # --- reading --------------------------------------------------------------------------------------------------

    def _read(self, entry: Entry) -> None:
        if entry.recording is None:
            self._reader.add(entry.path)

    def _take_found(self, paths: Sequence[Path]) -> None:
        there = {entry.path for entry in self.list.entries}
        new = [Entry(path) for path in paths if path not in there]
        if new:
            self.list.add(new)
            for entry in new:
                self._read(entry)
        self._show()

    def _take_not_found(self, says: str) -> None:
        self._show()
        self.says.setText(says)

    def _take(self, path: Path, recording: Recording) -> None:
        self._change(path, Entry(path, recording))

    def _take_fault(self, path: Path, why: str) -> None:
        self._change(path, Entry(path, None, why))

    def _take_progress(self, path: Path, share: float) -> None:
        self._change(path, Entry(path, share=share))

    def _change(self, path: Path, entry: Entry) -> None:
        if any(one.path == path for one in self.list.entries):
            self.list.change(entry)

    # --- what the user does ------------------------------------------------------------------------------------------

    @property
    def _paths(self) -> list[Path]:
        return [entry.path for entry in self.list.entries]

    def _offers(self, index: QModelIndex) -> list[MenuItem]:
        """What can be done with the recording of a line."""
        folder = self.list.entries[index.row()].path.parent
        shows = Choice("Show in folder", lambda: open_path(folder))
        return [*map(Choice.of, (self.up, self.down, self.remove)), None, shows]

    def _choose_more(self) -> None:
        chosen, _ = QFileDialog.getOpenFileNames(self, "Add recordings", "", RECORDING_FILES)
        if chosen:
            self.add([Path(name) for name in chosen])

    def _remove(self) -> None:
        removed = self.list.remove_current()
        if removed is not None:
            self._reader.drop(removed.path)

    def _sort(self) -> None:
        by_path = {entry.path: entry for entry in self.list.entries}
        self.list.show_entries(by_path[path] for path in in_natural_order(by_path))

    def _use(self) -> None:
        if self._of_case:
            self.put_in_order.emit([entry.recording for entry in self.list.entries])
        else:
            self.one_operation.emit(self._paths)

    def _leave(self) -> None:
        self.stop()
        self.left.emit()

    def _show(self) -> None:
        entries, row, says = self.list.entries, self.list.currentRow(), self._what_is_wrong()
        read = [entry.recording for entry in entries if entry.recording is not None]
        count = f"{len(entries)} recording{'s' * (len(entries) != 1)}"
        can_use = not says and len(read) == len(entries)
        in_all = f", {span(sum(one.duration for one in read))} in all." if can_use else "; reading their lengths."
        self.says.setText(says or count + in_all)
        self.use.setEnabled(can_use)
        self.each.setEnabled(can_use)
        self.remove.setEnabled(row >= 0)
        self.up.setEnabled(row > 0)
        self.down.setEnabled(0 <= row < len(entries) - 1)
        self.by_name.setEnabled(self._paths != in_natural_order(self._paths))

    def _what_is_wrong(self) -> str:
        """Why these can't be used; empty for nothing, as far as they have been read."""
        if self._reader.is_looking:
            return "Looking for recordings…"
        entries = self.list.entries
        if not entries:
            return "Add a recording."
        faulty = sum(bool(entry.why) for entry in entries)
        if faulty:
            return f"{faulty} of {len(entries)} can’t be used. Remove the marked ones."
        seen: dict[str, Path] = {}
        for path, recording in ((entry.path, entry.recording) for entry in entries if entry.recording):
            if recording.fingerprint in seen:
                return f"“{seen[recording.fingerprint].name}” and “{path.name}” are the same recording. Remove one."
            seen[recording.fingerprint] = path
        return ""
