"""Where published files go, what their names begin with, and whether existing files are kept or replaced."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QFileDialog, QGridLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox, label, word_button
from annotator.desktop.widgets.form_line import FormLine
from annotator.desktop.widgets.labels import ElidedLabel, WrappedLabel
from annotator.model.case import Case
from annotator.publish.names import free_name, planned, safe_name, there
from annotator.publish.options import Options

_NAMES = "names"


class PublishTarget(QWidget):
    """Writes beside the case, or into the folder that was chosen last.

    changed  another folder, another name, or another answer
    chosen   another folder: it, or None for that of the case
    """

    changed = Signal()
    chosen = Signal(object)

    def __init__(
        self, beside: Path, kept: Path | None, name: str, replace: bool, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._beside = beside
        self.folder = kept or beside
        self.where = ElidedLabel(cut=Qt.TextElideMode.ElideLeft)
        self.other = word_button("Change…", self._choose, "Change the folder")
        self.other.setProperty("dense", True)
        self.field = FormLine("File-name prefix", self._take_name)
        self.field.setProperty("dense", True)
        self.field.show_of(_NAMES, name)
        self.field.setMaxLength(60)
        self.field.textChanged.connect(self.changed)
        self.existing = _existing(replace)
        self.existing.currentIndexChanged.connect(self.changed)
        self._on_folder, self._on_names = WrappedLabel(), WrappedLabel()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2 * UNIT)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        grid.addWidget(label("Where", "group"), 0, 0, 1, 3)
        grid.addWidget(label("Folder", "second"), 1, 0)
        grid.addWidget(self.where, 1, 1)
        grid.addWidget(self.other, 1, 2)
        self._if_exist = label("If files exist", "second")
        prefix = label("File-name prefix", "second")
        for row, (words, field) in enumerate(((prefix, self.field), (self._if_exist, self.existing)), 2):
            grid.addWidget(words, row, 0)
            grid.addWidget(field, row, 1, 1, 2)
        for row, says in enumerate((self._on_folder, self._on_names), 4):
            grid.addWidget(says, row, 0, 1, 3)
            says.say("")
        self._show_folder()

    def _take_name(self, _owner: str, text: str) -> bool:
        self.field.show_of(_NAMES, text)
        return True

    @property
    def name(self) -> str:
        """What was typed, made safe for any system."""
        return safe_name(self.field.text())

    @property
    def replaces(self) -> bool:
        """Whether files that are there may be replaced."""
        return bool(self.existing.currentData())

    @property
    def says_of_names(self) -> str:
        """What becomes of files that are there."""
        return self._on_names.text()

    @property
    def says(self) -> str:
        """What is to be known of the folder."""
        return self._on_folder.text()

    def look(self, case: Case, options: Options) -> None:
        """Say what becomes of files that are there already; a folder that is there no more gives way to the case's."""
        if not self.folder.is_dir():
            gone, self.folder = self.folder, self._beside
            self._show_folder(f"{gone} is not there now, so the files go beside the case.")
        found = there(planned(case, options, self.name), self.folder)
        for part in (self._if_exist, self.existing):
            part.setVisible(bool(found))
        if not found:
            self._on_names.say("")
        elif options.replace:
            more = f" and {len(found) - 1} more" if len(found) > 1 else ""
            self._on_names.say(f"{found[0]}{more} will be replaced.")
        else:
            free = free_name(case, options, self.name, self.folder)
            self._on_names.say(f"{found[0]} exists; the new names begin with {free}.")

    def _choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Publish to folder", str(self.folder))
        if chosen:
            self.folder = Path(chosen)
            self._show_folder()
            self.chosen.emit(None if self.folder == self._beside else self.folder)
            self.changed.emit()

    def _show_folder(self, says: str = "") -> None:
        self.where.setText(str(self.folder))
        self.where.setAccessibleName(f"Folder: {self.folder}")
        self._on_folder.say(says)


def _existing(replace: bool) -> QComboBox:
    made = ChoiceBox("If files exist")
    made.setProperty("dense", True)
    for words, value in (("Keep both", False), ("Replace", True)):
        made.addItem(words, value)
    made.setCurrentIndex(int(replace))
    return made
