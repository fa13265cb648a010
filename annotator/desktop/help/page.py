"""Help, on one page of the window: the subjects on the left, and the text."""

from collections.abc import Callable
from enum import Enum

from PySide6.QtCore import QSize, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QTextBlock, QTextBlockFormat, QTextCursor
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QTextBrowser, QWidget

from annotator.desktop.help import subjects
from annotator.desktop.settings.key_list import KeyRow
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.full_page import FullPage

_LIST, _TEXT = 220, 860
"""Widths in pixels; longer lines are hard to read."""


class Subject(Enum):
    GUIDE = "Guide"
    WINDOW = "The window"
    KEYS = "Keyboard shortcuts"
    PUBLISHING = "Publishing"
    PRIVACY = "Privacy"
    ABOUT = "About"
    LICENCES = "Licences"


_PAGES = {
    Subject.GUIDE: "guide.md",
    Subject.WINDOW: "window.md",
    Subject.PUBLISHING: "publishing.md",
    Subject.PRIVACY: "privacy.md",
}


class HelpPage(FullPage):
    def __init__(self, keys: Callable[[], list[KeyRow]], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Help", theme, parent)
        self._keys = keys
        self.list = QListWidget()
        self.list.setAccessibleName("What there is to read")
        for subject in Subject:
            item = QListWidgetItem(subject.value)
            item.setSizeHint(QSize(_LIST, ROW))
            self.list.addItem(item)
        self.list.setFixedWidth(_LIST)
        self.list.currentRowChanged.connect(self._show_row)
        self.text = QTextBrowser()
        self.text.setAccessibleName("Text")
        self.text.setOpenLinks(False)
        self.text.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.text.setMaximumWidth(_TEXT)
        self.text.document().setDocumentMargin(6 * UNIT)
        self.text.anchorClicked.connect(self._follow)
        self.add_columns(self.list, self.text)

    def open(self, subject: Subject) -> None:
        """Show what there is to read of a subject, from its beginning."""
        row = list(Subject).index(subject)
        if self.list.currentRow() == row:
            self._show_row(row)  # a link may have led elsewhere
        self.list.setCurrentRow(row)

    def take_focus(self) -> None:
        """Begin in the text, which the arrows scroll."""
        self.text.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_row(self, row: int) -> None:
        subject = list(Subject)[row]
        if subject in _PAGES:
            self._show_page(_PAGES[subject])
        elif subject is Subject.KEYS:
            self.text.setHtml(subjects.keys_page(self._keys()))
        elif subject is Subject.ABOUT:
            self._show_markdown(subjects.about())
        else:
            self.text.setPlainText(subjects.licences())

    def _show_page(self, name: str) -> None:
        said = subjects.page(name)
        self._show_markdown(f"# {name}\n\nThis page is not installed here." if said is None else said)

    def _show_markdown(self, text: str) -> None:
        """With room between the paragraphs, for which Qt leaves none."""
        self.text.setMarkdown(text)
        cursor = QTextCursor(self.text.document())
        more = True
        while more:
            if cursor.currentTable() is None:
                form = QTextBlockFormat()
                form.setTopMargin((4 if cursor.blockFormat().headingLevel() else 1) * UNIT)
                form.setBottomMargin(2 * UNIT)
                cursor.mergeBlockFormat(form)
            more = cursor.movePosition(QTextCursor.MoveOperation.NextBlock)
        self.text.moveCursor(QTextCursor.MoveOperation.Start)

    def _follow(self, url: QUrl) -> None:
        """A link to another page stays in the window; one to the web goes to the browser."""
        name = url.fileName()
        if url.scheme() in ("http", "https"):
            QDesktopServices.openUrl(url)
        elif name == "keys.html":
            self.open(Subject.KEYS)
        else:
            subject = next((one for one, page in _PAGES.items() if page == name), None)
            if subject is not None:
                self.open(subject)
            elif name:
                self._show_page(name)
            self._scroll_to(url.fragment())

    def _scroll_to(self, heading: str) -> None:
        """To the heading that a link names: in small letters, with dashes between the words."""
        block = self.text.document().begin()
        while heading and block.isValid():
            if block.blockFormat().headingLevel() and _slug(block) == heading:
                top = self.text.document().documentLayout().blockBoundingRect(block).top()
                self.text.verticalScrollBar().setValue(round(top))
                return
            block = block.next()


def _slug(block: QTextBlock) -> str:
    words = "".join(one for one in block.text().lower() if one.isalnum() or one in " -_")
    return words.replace(" ", "-")
