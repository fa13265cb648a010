"""The choices of publishing: what is made, in which form, of what; each shows its own choices once it is ticked."""

from collections.abc import Mapping, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox, label
from annotator.desktop.widgets.labels import WrappedLabel
from annotator.model.case import Case
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.publish.options import DurationForm, Options

_FORMS: Mapping[DurationForm, str] = {
    "xlsx": "Workbook (.xlsx)",
    "html": "Page (.html)",
    "csv": "Table (.csv)",
    "json": "Data (.json)",
}
_PAGE_FORMS = {
    "copy": "Recording as it is",
    "mp4": "Encoded anew as H.264",
    "webm": "Encoded anew as WebM",
}
_CONTAINERS = {".mp4": "MP4", ".mkv": "Matroska", ".mov": "QuickTime", ".webm": "WebM"}
_CLIP_FORMS = {
    "mp4": "Exact, encoded anew (.mp4)",
    "webm": "Exact, encoded anew (.webm)",
    "copy": "Copied, from a key frame on",
}
_STILL_FORMS = {"png": "PNG, without loss", "jpg": "JPEG, a tenth of the size"}
_OF = {False: "Of the chosen tags", True: "Of all tags of these kinds"}
_INDENT = 7 * UNIT


class PublishForm(QWidget):
    """changed  another choice was made"""

    changed = Signal()

    def __init__(self, case: Case, options: Options, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._facets = {
            facet.name: _tick(label_in(facet.label, DEFAULT_LANGUAGE) or facet.name) for facet in case.vocabulary.facets
        }
        self.nested = _tick("Steps inside their phases")
        self.fill = _tick("Close gaps between chapters")
        self._forms = {form: _tick(words) for form, words in _FORMS.items()}
        self.page_form = _choice("Recording of the page", _PAGE_FORMS)
        self.container = _choice("Container of the recording", _CONTAINERS)
        self.clip_form = _choice("How clips are written", _CLIP_FORMS)
        self.on_clips, self.on_tags = WrappedLabel(), WrappedLabel()
        self.still_form = _choice("How stills are written", _STILL_FORMS)
        self.of = _choice("Which tags clips and stills are of", _OF)
        self.language = _choice("Language of the names", {one: one for one in _languages(case)})
        self.chapters = _Part("Chapters (.vtt)", self.nested, self.fill)
        self.durations = _Part("Durations", _grid(list(self._forms.values())))
        self.shared = _Part("Folder with a page that plays", self.page_form)
        self.recording = _Part("Recording with chapters", self.container)
        self.clips = _Part("Clips of tags", self.clip_form, self.on_clips)
        self.stills = _Part("Stills of tags", self.still_form)
        self._named_language = _row("Language", self.language)
        self._lay_out()
        if self.language.count() == 1:
            self._named_language.hide()
        self._show(options)
        self._listen()

    @property
    def options(self) -> Options:
        """The choices as they stand, `replace` apart."""
        return Options(
            facets=tuple(name for name, tick in self._facets.items() if tick.isChecked()),
            language=self.language.currentData(),
            chapters=self.chapters.is_on,
            nested=self.nested.isChecked(),
            fill=self.fill.isChecked(),
            durations=self.durations.is_on,
            forms=tuple(form for form, tick in self._forms.items() if tick.isChecked()),
            shared=self.shared.is_on,
            page_form=self.page_form.currentData(),
            recording=self.recording.is_on,
            container=self.container.currentData(),
            clips=self.clips.is_on,
            clip_form=self.clip_form.currentData(),
            stills=self.stills.is_on,
            still_form=self.still_form.currentData(),
            of_all=self.of.currentData(),
        )

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for part in self._parts:
            column.addWidget(part)
        column.addWidget(self.of)
        column.addWidget(self.on_tags)
        column.addSpacing(3 * UNIT)
        column.addWidget(label("Of these kinds", "group"))
        column.addWidget(_grid(list(self._facets.values())))
        column.addSpacing(2 * UNIT)
        column.addWidget(self._named_language)

    @property
    def _parts(self) -> tuple["_Part", ...]:
        return (self.chapters, self.durations, self.shared, self.recording, self.clips, self.stills)

    def _show(self, options: Options) -> None:
        known = [name for name in options.facets if name in self._facets]
        for name, tick in self._facets.items():
            tick.setChecked(name in known or (not known and name == next(iter(self._facets))))
        for form, tick in self._forms.items():
            tick.setChecked(form in options.forms)
        for box, on in ((self.nested, options.nested), (self.fill, options.fill)):
            box.setChecked(on)
        for choice, value in (
            (self.language, options.language if self.language.findData(options.language) >= 0 else DEFAULT_LANGUAGE),
            (self.page_form, options.page_form),
            (self.container, options.container),
            (self.clip_form, options.clip_form),
            (self.still_form, options.still_form),
            (self.of, options.of_all),
        ):
            choice.setCurrentIndex(max(choice.findData(value), 0))
        made = (options.chapters, options.durations, options.shared, options.recording, options.clips, options.stills)
        for part, ticked in zip(self._parts, made, strict=True):
            part.set_on(ticked)
        self._show_of()

    def _listen(self) -> None:
        for tick in self.findChildren(QCheckBox):
            tick.toggled.connect(self._tell)
        for choice in self.findChildren(QComboBox):
            choice.currentIndexChanged.connect(self._tell)

    def _tell(self) -> None:
        self._show_of()
        self.changed.emit()

    def _show_of(self) -> None:
        self.of.setVisible(self.clips.is_on or self.stills.is_on)


class _Part(QWidget):
    """One thing that can be made: a tick, and below it, once it is ticked, its own choices."""

    def __init__(self, words: str, *choices: QWidget) -> None:
        super().__init__()
        self.head = _tick(words)
        self._body = QWidget()
        body = QVBoxLayout(self._body)
        body.setContentsMargins(_INDENT, 0, 0, UNIT)
        body.setSpacing(0 if isinstance(choices[0], QCheckBox) else UNIT)
        for one in choices:
            body.addWidget(one)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self._body)
        self._body.hide()
        self.head.toggled.connect(self._body.setVisible)

    @property
    def is_on(self) -> bool:
        return self.head.isChecked()

    def set_on(self, on: bool) -> None:
        self.head.setChecked(on)


def _tick(words: str) -> QCheckBox:
    made = QCheckBox(words)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made


def _choice(name: str, choices: Mapping[Any, str]) -> QComboBox:
    """One of several, each with the value that it stands for."""
    made = ChoiceBox(name)
    for value, words in choices.items():
        made.addItem(words, value)
    return made


def _grid(ticks: Sequence[QCheckBox]) -> QWidget:
    """Ticks in two columns."""
    made = QWidget()
    grid = QGridLayout(made)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(2 * UNIT)
    grid.setVerticalSpacing(0)
    for place, tick in enumerate(ticks):
        grid.addWidget(tick, place // 2, place % 2)
    grid.setColumnStretch(0, 1)
    grid.setColumnStretch(1, 1)
    return made


def _row(words: str, field: QWidget) -> QWidget:
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(label(words, "second"), 1)
    row.addWidget(field)
    return made


def _languages(case: Case) -> list[str]:
    """Those in which the vocabulary names its terms."""
    found = {language for concept in case.vocabulary.concepts for language in concept.pref_label}
    return sorted(found | {DEFAULT_LANGUAGE})
