"""The program's own typefaces, so that it looks the same on every machine.

Inter and JetBrains Mono, both under the SIL Open Font License; their licences stand beside them.
"""

from functools import lru_cache
from pathlib import Path

from PySide6.QtGui import QFont, QFontDatabase

from annotator.desktop.theme.tokens import CLOCK_SIZE, SMALL_SIZE, TEXT_SIZE

TEXT_FAMILIES = ["Inter", "Segoe UI", "SF Pro Text", "Noto Sans", "DejaVu Sans"]
CLOCK_FAMILIES = ["JetBrains Mono", "SF Mono", "Consolas", "DejaVu Sans Mono"]


def load_typefaces() -> None:
    """Make the typefaces known to Qt; call once, after the application is made."""
    for file in sorted((Path(__file__).parent / "fonts").glob("*.ttf")):
        QFontDatabase.addApplicationFontFromData(file.read_bytes())


def text(size: int = TEXT_SIZE, *, strong: bool = False) -> QFont:
    return QFont(_made(tuple(TEXT_FAMILIES), size, strong, of_one_width=False))


def small(*, strong: bool = False) -> QFont:
    return text(SMALL_SIZE, strong=strong)


def figures(size: int = TEXT_SIZE, *, strong: bool = False) -> QFont:
    """Figures of one width, so that times stand in columns and do not dance; not for words, whose hyphens it widens."""
    return QFont(_made(tuple(TEXT_FAMILIES), size, strong, of_one_width=True))


def clock(size: int = CLOCK_SIZE) -> QFont:
    return QFont(_made(tuple(CLOCK_FAMILIES), size, strong=True, of_one_width=False))


@lru_cache
def _made(families: tuple[str, ...], size: int, strong: bool, *, of_one_width: bool) -> QFont:
    """Kept, and with it what Qt has found out about it: a list asks for the same few at every line."""
    font = QFont(families)
    font.setPixelSize(size)
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    if of_one_width:
        font.setFeature(QFont.Tag("tnum"), 1)
    return font
