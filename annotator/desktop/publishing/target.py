"""Where published files go, what their names begin with, and what becomes of files that are there already."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFileDialog, QVBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label
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
        self.where = ElidedLabel(cut=Qt.TextElideMode.ElideMiddle)
        self._on_folder = WrappedLabel()
        self.other = PushButton("Other folder…")
        self.other.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.other.clicked.connect(self._choose)
        self.field = FormLine("What the names of the files begin with", self._take_name)
        self.field.show_of(_NAMES, name)
        self.field.setMaxLength(60)
        self.field.textChanged.connect(self.changed)
        self.replace = QCheckBox("Replace files that are there already")
        self.replace.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.replace.setChecked(replace)
        self.replace.toggled.connect(self.changed)
        self._on_names = WrappedLabel()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        into: tuple[QWidget, ...] = (label("Into", "group"), self.where, self._on_folder, self.other)
        names: tuple[QWidget, ...] = (label("Names begin with", "group"), self.field, self.replace, self._on_names)
        for part in (*into, *names):
            column.addWidget(part)
        column.insertSpacing(len(into), 2 * UNIT)
        self._show_folder()

    def _take_name(self, _owner: str, text: str) -> bool:
        self.field.show_of(_NAMES, text)
        return True

    @property
    def name(self) -> str:
        """What was typed, made safe for any system."""
        return safe_name(self.field.text())

    @property
    def says(self) -> str:
        """What is to be known of the folder."""
        return self._on_folder.text()

    def look(self, case: Case, options: Options) -> None:
        """Say what becomes of files that are there already; a folder that is there no more gives way to the case's."""
        if not self.folder.is_dir():
            gone, self.folder = self.folder, self._beside
            self._show_folder(f"{gone} is not there now, so this goes beside the case.")
        found = there(planned(case, options, self.name), self.folder)
        if not found:
            self._on_names.say("")
        elif options.replace:
            says = found[0] if len(found) == 1 else f"{len(found)} files, the first {found[0]},"
            self._on_names.say(f"{says} will be replaced.")
        else:
            free = free_name(case, options, self.name, self.folder)
            self._on_names.say(f"{found[0]} is there already; new names begin with {free}.")

    def _choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Write into", str(self.folder))
        if chosen:
            self.folder = Path(chosen)
            self._show_folder()
            self.chosen.emit(None if self.folder == self._beside else self.folder)
            self.changed.emit()

    def _show_folder(self, says: str = "") -> None:
        self.where.setText(str(self.folder))
        self.where.setAccessibleName(f"Into {self.folder}")
        self._on_folder.say(says)
