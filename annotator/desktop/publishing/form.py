"""What is published, in which form, and of which tags: one line for each choice, so that no tick moves another."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.publishing.tick_button import TickButton
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox, label
from annotator.model.case import Case
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.publish.options import DurationForm, Options

_NESTED, _FILL = "nested", "fill"
_CHAPTER_WAYS: Final = {_NESTED: "Steps inside their phases", _FILL: "Close gaps between chapters"}
_SHORT_WAYS: Final = {_NESTED: "In phases", _FILL: "No gaps"}
_FORMS: Final[Mapping[DurationForm, str]] = {
    "xlsx": "Workbook (.xlsx)",
    "html": "Web page (.html)",
    "csv": "Table (.csv)",
    "json": "Data (.json)",
}
_PAGE_FORMS: Final = {"copy": "Original", "mp4": "H.264", "webm": "WebM"}
_CONTAINERS: Final = {".mp4": "MP4", ".mkv": "Matroska", ".mov": "QuickTime", ".webm": "WebM"}
_CLIP_FORMS: Final = {
    "mp4": "Frame-accurate (re-encoded)",
    "webm": "Frame-accurate (WebM)",
    "copy": "Fast copy",
}
_OF: Final = {False: "Selected tags", True: "All of these categories"}
_STILL_FORMS: Final = {"png": "PNG (lossless)", "jpg": "JPEG (small)"}


class PublishForm(QWidget):
    """changed  another choice was made"""

    changed = Signal()

    def __init__(self, case: Case, options: Options, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._labels = {one.name: label_in(one.label, DEFAULT_LANGUAGE) or one.name for one in case.vocabulary.facets}
        self.chapter_ways = TickButton("How chapters are written", _CHAPTER_WAYS, _ways_in_words)
        self.forms = TickButton(
            "Formats of the durations", {str(form): words for form, words in _FORMS.items()}, _forms_in_words
        )
        self.page_form = _choice("Video of the web page", _PAGE_FORMS)
        self.container = _choice("Container of the recording", _CONTAINERS)
        self.clip_form = _choice("How clips are written", _CLIP_FORMS)
        self.still_form = _choice("How stills are written", _STILL_FORMS)
        self.chapters = _Part("Chapters", self.chapter_ways)
        self.durations = _Part("Durations", self.forms)
        self.shared = _Part("Web page with video", self.page_form)
        self.recording = _Part("Recording with chapters", self.container)
        self.clips = _Part("Clips", self.clip_form)
        self.stills = _Part("Stills", self.still_form)
        self.facets = TickButton("Categories", self._labels, self._facets_in_words)
        self.of = _choice(
            "Which tags clips and stills are of", {False: "Selected tags", True: "All of these categories"}
        )
        self.language = _choice("Language of the names", {one: one for one in _languages(case)})
        self._lay_out()
        self._show(options)
        self._listen()

    @property
    def options(self) -> Options:
        """The choices as they stand, `replace` apart."""
        return Options(
            facets=self.facets.values,
            language=self.language.currentData(),
            chapters=self.chapters.is_on,
            nested=_NESTED in self.chapter_ways.values,
            fill=_FILL in self.chapter_ways.values,
            durations=self.durations.is_on,
            forms=tuple(form for form in _FORMS if form in self.forms.values),
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

    def count(self, selected: int, of_all: int) -> None:
        """Say of how many tags clips and stills would be."""
        for of, tags in ((False, selected), (True, of_all)):
            self.of.setItemText(self.of.findData(of), f"{_OF[of]} ({tags})")
        for part in (self.clips, self.stills):
            part.count(of_all if self.of.currentData() else selected)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(label("What", "group"))
        for part in self._parts:
            column.addWidget(part)
        column.addSpacing(2 * UNIT)
        column.addWidget(label("Which tags", "group"))
        column.addWidget(_named_line("Categories", self.facets))
        column.addWidget(_named_line("Clips and stills", self.of))
        if self.language.count() > 1:
            column.addWidget(_named_line("Language", self.language))

    @property
    def _parts(self) -> tuple["_Part", ...]:
        return (self.chapters, self.durations, self.shared, self.recording, self.clips, self.stills)

    def _show(self, options: Options) -> None:
        known = [name for name in options.facets if name in self._labels]
        self.facets.tick(known or [*self._labels][:1])
        self.forms.tick(options.forms)
        self.chapter_ways.tick(way for way, on in ((_NESTED, options.nested), (_FILL, options.fill)) if on)
        language = options.language if self.language.findData(options.language) >= 0 else DEFAULT_LANGUAGE
        for choice, value in (
            (self.language, language),
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

    def _listen(self) -> None:
        for part in self._parts:
            part.head.toggled.connect(self.changed)
        for choice in self.findChildren(QComboBox):
            choice.currentIndexChanged.connect(self.changed)
        for several in (self.chapter_ways, self.forms, self.facets):
            several.changed.connect(self.changed)

    def _facets_in_words(self, names: Sequence[str]) -> str:
        words = [self._labels[name] for name in names]
        return ", ".join(words) if len(words) < 3 else f"{words[0]} and {len(words) - 1} more"


class _Part(QWidget):
    """One thing that can be made: a tick, and beside it, once it is ticked, its own choice, for which there is room."""

    def __init__(self, words: str, choice: QWidget) -> None:
        super().__init__()
        self._words = words
        self.head = QCheckBox(words)
        self.head.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        policy = choice.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        choice.setSizePolicy(policy)
        row = _line(self)
        row.addWidget(self.head)
        row.addStretch(1)
        row.addWidget(choice)
        choice.hide()
        self.head.toggled.connect(choice.setVisible)

    @property
    def is_on(self) -> bool:
        return self.head.isChecked()

    def set_on(self, on: bool) -> None:
        self.head.setChecked(on)

    def count(self, tags: int) -> None:
        """Say of how many tags it would be made."""
        self.head.setText(f"{self._words} ({tags})")


def _named_line(words: str, field: QWidget) -> QWidget:
    """A field at the right of what it is for."""
    made = QWidget()
    row = _line(made)
    row.addWidget(label(words, "second"))
    row.addStretch(1)
    row.addWidget(field)
    return made


def _line(of: QWidget) -> QHBoxLayout:
    row = QHBoxLayout(of)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(2 * UNIT)
    return row


def _choice(name: str, choices: Mapping[Any, str]) -> QComboBox:
    """One of several, each with the value that it stands for, as wide as its words."""
    made = ChoiceBox(name)
    made.setProperty("dense", True)
    made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
    for value, words in choices.items():
        made.addItem(words, value)
    return made


def _ways_in_words(ways: Sequence[str]) -> str:
    return ", ".join(_SHORT_WAYS[way] for way in ways) or "As tagged"


def _forms_in_words(forms: Sequence[str]) -> str:
    return ", ".join(form.upper() for form in forms) or "No format"


def _languages(case: Case) -> list[str]:
    """Those in which the vocabulary names its terms."""
    found = {language for concept in case.vocabulary.concepts for language in concept.pref_label}
    return sorted(found | {DEFAULT_LANGUAGE})
