"""Where published files go, what their names begin with, and what becomes of files that are there already."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFileDialog, QLineEdit, QVBoxLayout, QWidget

from annotator.desktop.controls import PushButton, label, plain_tip
from annotator.desktop.elided import ElidedLabel
from annotator.desktop.tokens import UNIT
from annotator.desktop.wrapped import Wrapped
from annotator.model.case import Case
from annotator.publish.names import free_name, planned, safe_name, there
from annotator.publish.wishes import Wishes


class PublishTarget(QWidget):
    """changed  another folder, another name, or another answer"""

    changed = Signal()

    def __init__(self, folder: Path, name: str, replace: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.folder = folder
        self._where = ElidedLabel()
        self.other = PushButton("Other folder…")
        self.other.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.other.clicked.connect(self._choose)
        self.field = QLineEdit(name)
        self.field.setAccessibleName("What the names of the files begin with")
        self.field.setMaxLength(60)
        self.field.textChanged.connect(self.changed)
        self.replace = QCheckBox("Replace files that are there already")
        self.replace.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.replace.setChecked(replace)
        self.replace.toggled.connect(self.changed)
        self._on_names = Wrapped()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        into: tuple[QWidget, ...] = (label("Into", "group"), self._where, self.other)
        names: tuple[QWidget, ...] = (label("Names begin with", "group"), self.field, self.replace, self._on_names)
        for part in (*into, *names):
            column.addWidget(part)
        column.insertSpacing(len(into), 2 * UNIT)
        self._show_folder()

    @property
    def name(self) -> str:
        """What was typed, made safe for any system."""
        return safe_name(self.field.text())

    def look(self, case: Case, wishes: Wishes) -> None:
        """Say what becomes of files that are there already."""
        found = there(planned(case, wishes, self.name), self.folder)
        if not found:
            self._on_names.say("")
        elif wishes.replace:
            says = found[0] if len(found) == 1 else f"{len(found)} files, the first {found[0]},"
            self._on_names.say(f"{says} will be replaced.")
        else:
            free = free_name(case, wishes, self.name, self.folder)
            self._on_names.say(f"{found[0]} is there already; new names begin with {free}.")

    def _choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Write into", str(self.folder))
        if chosen:
            self.folder = Path(chosen)
            self._show_folder()
            self.changed.emit()

    def _show_folder(self) -> None:
        parts = self.folder.parts
        self._where.setText(str(Path("…", *parts[-2:])) if len(parts) > 3 else str(self.folder))
        self._where.setToolTip(plain_tip(str(self.folder)))
