"""Publishing in one place: chapters and durations into one folder, and what is to be said about them."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from annotator.desktop.controller import Controller
from annotator.desktop.controls import label
from annotator.desktop.side_page import SidePage
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT
from annotator.errors import AnnotatorError
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.publish.chapter_file import chapter_file
from annotator.publish.summary import summary_text
from annotator.store.atomic import write_atomically

_FORMS = {"xlsx": "workbook (.xlsx)", "html": "page to read or print (.html)", "csv": "table (.csv)", "json": "JSON"}
_USUAL = ("xlsx", "html")

CAUTION = (
    "This is teaching material, no clinical record and no medical device. Consent and your local privacy rules "
    "apply. Nothing here has looked for a patient's identity in picture or sound."
)


class PublishPanel(SidePage):
    """Writes what is ticked; every file whole or not at all."""

    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Publish", theme, parent)
        self._controller = controller
        self._folder = controller.session.path.parent
        self._facet = QComboBox()
        self._facet.setAccessibleName("What the chapters and durations are of")
        for facet in controller.case.vocabulary.facets:
            self._facet.addItem(label_in(facet.label, DEFAULT_LANGUAGE), facet.name)
        self._facet.setCurrentIndex(max(self._facet.findData("step"), 0))
        self._chapters = _tick("Chapters (.vtt)", on=True)
        self._nested = _tick("Nested: phases, steps, techniques")
        self._forms = {form: _tick(words, on=form in _USUAL) for form, words in _FORMS.items()}
        self._where = label("", "second")
        self._where.setWordWrap(True)
        self._where.setTextFormat(Qt.TextFormat.PlainText)
        self._other = QPushButton("Other folder…")
        self._other.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._other.clicked.connect(self._choose_folder)
        self.write = QPushButton("Write the files")
        self.write.setProperty("rank", "main")
        self.write.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.write.clicked.connect(self._write)
        self.result = label("")
        self.result.setWordWrap(True)
        self.result.setTextFormat(Qt.TextFormat.PlainText)
        self.result.setAccessibleName("What was written")
        self._scroll = QScrollArea()
        self._lay_out()
        self._show_folder(self._folder)

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 4 * UNIT)
        column.setSpacing(UNIT)
        caution = label(CAUTION, "second")
        caution.setWordWrap(True)
        row = QHBoxLayout()
        row.addWidget(label("of each", "second"))
        row.addWidget(self._facet, 1)
        _put(column, caution, None, label("Chapters", "group"), self._chapters, self._nested, None)
        _put(column, label("Durations", "group"), *self._forms.values(), None)
        column.addLayout(row)
        _put(column, None, label("Into", "group"), self._where, self._other, None, self.write, self.result)
        column.addStretch(1)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(inside)
        self._scroll.verticalScrollBar().rangeChanged.connect(self._show_end)
        self.column.addWidget(self._scroll, 1)

    def _show_end(self, _least: int, most: int) -> None:
        """What was written stands last, and is what one wants to read then."""
        if self.result.text():
            self._scroll.verticalScrollBar().setValue(most)

    def _show_folder(self, folder: Path) -> None:
        self._folder = folder
        self._where.setText(str(Path("…", *folder.parts[-2:])) if len(folder.parts) > 3 else str(folder))
        self._where.setToolTip(str(folder))

    def _choose_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Write into", str(self._folder))
        if chosen:
            self._show_folder(Path(chosen))

    def _write(self) -> None:
        self._controller.player.pause()
        stem = self._controller.session.path.name.split(".")[0]
        facet = str(self._facet.currentData())
        notes: list[str] = []
        written: list[str] = []
        try:
            if self._chapters.isChecked():
                nested = self._nested.isChecked()
                make = _chapters(self._controller, facet, nested=nested)
                written.append(self._write_one(f"{stem}.chapters.vtt", make, notes))
            for form, tick in self._forms.items():
                if tick.isChecked():
                    make = _durations(self._controller, facet, form)
                    written.append(self._write_one(f"{stem}.durations.{form}", make, notes))
        except AnnotatorError as error:
            self.result.setText(str(error))
            return
        says = f"Written: {', '.join(written)}." if written else "Nothing is ticked, so nothing was written."
        self.result.setText("\n".join([says, *dict.fromkeys(notes)]))

    def _write_one(self, name: str, make: "Maker", notes: list[str]) -> str:
        content, said = make()
        write_atomically(self._folder / name, content.encode() if isinstance(content, str) else content)
        notes += said
        return name


Maker = Callable[[], tuple[str | bytes, tuple[str, ...]]]


def _chapters(controller: Controller, facet: str, *, nested: bool) -> Maker:
    def make() -> tuple[str | bytes, tuple[str, ...]]:
        return chapter_file(controller.case, facet=facet, nested=nested)

    return make


def _durations(controller: Controller, facet: str, form: str) -> Maker:
    def make() -> tuple[str | bytes, tuple[str, ...]]:
        return summary_text(controller.case, form, facet)

    return make


def _tick(words: str, *, on: bool = False) -> QCheckBox:
    made = QCheckBox(words)
    made.setChecked(on)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made


def _put(column: QVBoxLayout, *widgets: QWidget | None) -> None:
    """Widgets under one another; None for a gap."""
    for widget in widgets:
        if widget is None:
            column.addSpacing(2 * UNIT)
        else:
            column.addWidget(widget)
