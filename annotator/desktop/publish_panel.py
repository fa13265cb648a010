"""Publishing in one place, into one folder: files at once, and recordings, stills, clips and a folder as long work.

What writes is imported when something is written, as it takes a good part of the time in which a window opens.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
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

from annotator.desktop import publish_jobs
from annotator.desktop.command_set import without_argument
from annotator.desktop.controller import Controller
from annotator.desktop.controls import label
from annotator.desktop.side_page import SidePage
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT
from annotator.desktop.work import Job
from annotator.desktop.work_row import WorkRow
from annotator.errors import AnnotatorError
from annotator.model.case import Tag
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.store.atomic import write_atomically

if TYPE_CHECKING:
    from annotator.publish.clips import Form

_FORMS = {"xlsx": "workbook (.xlsx)", "html": "page to read or print (.html)", "csv": "table (.csv)", "json": "JSON"}
_USUAL = ("xlsx", "html")

_OF = {"chosen": "of the chosen tags", "facet": "of all tags of the kind above"}
_CLIP_FORMS = {"mp4": "exact, H.264 (.mp4)", "webm": "exact, VP9 (.webm)", "copy": "copied, begins at a key frame"}
_ENDINGS = {".mp4": ".mp4", ".mkv": ".mkv", ".mov": ".mov", ".webm": ".webm"}

CAUTION = (
    "This is teaching material, no clinical record and no medical device. Consent and your local privacy rules "
    "apply. Nothing here has looked for a patient's identity in picture or sound."
)


class PublishPanel(SidePage):
    """Writes what is ticked; every file whole or not at all.

    wrote  something was written
    """

    wrote = Signal()

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
        self.write = QPushButton("Write chapters and durations")
        self.write.setProperty("rank", "main")
        self.write.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.write.clicked.connect(self._write)
        self.result = label("")
        self.result.setWordWrap(True)
        self.result.setTextFormat(Qt.TextFormat.PlainText)
        self.result.setAccessibleName("What was written")
        self._fill = _tick("Close gaps between chapters")
        self._language = QComboBox()
        self._language.setAccessibleName("Language of the chapters")
        for language in _languages(controller):
            self._language.addItem(language, language)
        self._language.setCurrentIndex(max(self._language.findData(DEFAULT_LANGUAGE), 0))
        self._of = _choice("Which tags stills and clips are of", _OF)
        self._clip_form = _choice("How clips are written", _CLIP_FORMS)
        self._ending = _choice("Container of the recording with chapters", _ENDINGS)
        self._webm = _tick("Encode as WebM, for any browser")
        self.make_recording = _button("Write the copy", self._write_recording)
        self.make_stills = _button("Stills", self._write_stills)
        self.make_clips = _button("Clips", self._write_clips)
        self.make_folder = _button("Folder to pass on", self._write_folder)
        self.work = WorkRow()
        self.work.began.connect(lambda: self._allow(False))
        self.work.ended.connect(lambda: self._allow(True))
        self.work.said.connect(self.result.setText)
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
        _put(column, caution, None, label("Of each", "group"), self._facet, None)
        _put(column, label("Chapters", "group"), self._chapters, self._nested, self._fill)
        column.addLayout(_row(label("language", "second"), self._language))
        _put(column, None, label("Durations", "group"), *self._forms.values(), None)
        _put(column, label("Into", "group"), self._where, self._other, None)
        _put(column, label("Recording with chapters", "group"))
        column.addLayout(_row(self._ending, self.make_recording))
        _put(column, None, label("Stills and clips", "group"), self._of)
        column.addLayout(_row(self._clip_form, self.make_clips))
        _put(column, self.make_stills, None)
        _put(column, label("Folder with a page that plays", "group"), self._webm, self.make_folder)
        column.addStretch(1)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(inside)
        self.column.addWidget(self._scroll, 1)
        ends = QVBoxLayout()
        ends.setContentsMargins(4 * UNIT, 2 * UNIT, 4 * UNIT, 4 * UNIT)
        _put(ends, self.work, self.result, self.write)
        self.column.addLayout(ends)

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
                language, fill = str(self._language.currentData()), self._fill.isChecked()
                make = _chapters(self._controller, facet, language=language, nested=nested, fill=fill)
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
        if written:
            self.wrote.emit()

    def close_down(self) -> None:
        """Stop long work; nothing is written any more once this returns."""
        self.work.close_down()

    def _allow(self, may: bool) -> None:
        for one in (self.make_recording, self.make_stills, self.make_clips, self.make_folder):
            one.setEnabled(may)

    def _order(self) -> publish_jobs.Order:
        session = self._controller.session
        facet, language = str(self._facet.currentData()), str(self._language.currentData())
        return publish_jobs.Order(
            session.case, session.path, self._folder, session.path.name.split(".")[0], facet, language
        )

    def _tags(self) -> Sequence[Tag]:
        if self._of.currentData() == "chosen":
            return self._controller.all_chosen
        return tuple(self._controller.case.in_facet(str(self._facet.currentData())))

    def _begin(self, job: Job, what: str) -> None:
        self._controller.player.pause()
        self.result.setText("")
        self.work.start(job, what)

    def _write_recording(self) -> None:
        job = publish_jobs.recording(self._order(), str(self._ending.currentData()))
        self._begin(job, "Writing the recording with chapters")

    def _write_stills(self) -> None:
        tags = self._tags()
        if self._are_any(tags):
            self._begin(publish_jobs.still_files(self._order(), tags), "Writing stills")

    def _write_clips(self) -> None:
        tags = self._tags()
        if self._are_any(tags):
            form: Form = self._clip_form.currentData()
            self._begin(publish_jobs.clip_files(self._order(), tags, form), "Writing clips")

    def _write_folder(self) -> None:
        job = publish_jobs.shared_folder(self._order(), webm=self._webm.isChecked())
        self._begin(job, "Writing the folder")

    def _are_any(self, tags: Sequence[Tag]) -> bool:
        if not tags:
            chosen = self._of.currentData() == "chosen"
            self.result.setText("No tag is chosen: choose one in the record." if chosen else "There are no such tags.")
        return bool(tags)

    def _write_one(self, name: str, make: "Maker", notes: list[str]) -> str:
        content, said = make()
        write_atomically(self._folder / name, content.encode() if isinstance(content, str) else content)
        notes += said
        return name


Maker = Callable[[], tuple[str | bytes, tuple[str, ...]]]


def _chapters(controller: Controller, facet: str, *, language: str, nested: bool, fill: bool) -> Maker:
    def make() -> tuple[str | bytes, tuple[str, ...]]:
        from annotator.publish.chapter_file import chapter_file

        return chapter_file(controller.case, facet=facet, language=language, nested=nested, fill=fill)

    return make


def _durations(controller: Controller, facet: str, form: str) -> Maker:
    def make() -> tuple[str | bytes, tuple[str, ...]]:
        from annotator.publish.summary import summary_text

        return summary_text(controller.case, form, facet)

    return make


def _tick(words: str, *, on: bool = False) -> QCheckBox:
    made = QCheckBox(words)
    made.setChecked(on)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made


def _choice(name: str, choices: Mapping[str, str]) -> QComboBox:
    made = QComboBox()
    made.setAccessibleName(name)
    for value, words in choices.items():
        made.addItem(words, value)
    return made


def _button(words: str, does: Callable[[], None]) -> QPushButton:
    made = QPushButton(words)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.clicked.connect(without_argument(does))
    return made


def _row(first: QWidget, second: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.addWidget(first, 1)
    row.addWidget(second)
    return row


def _languages(controller: Controller) -> list[str]:
    """Those in which the vocabulary names its terms."""
    found = {language for concept in controller.case.vocabulary.concepts for language in concept.pref_label}
    return sorted(found | {DEFAULT_LANGUAGE})


def _put(column: QVBoxLayout, *widgets: QWidget | None) -> None:
    """Widgets under one another; None for a gap."""
    for widget in widgets:
        if widget is None:
            column.addSpacing(2 * UNIT)
        else:
            column.addWidget(widget)
