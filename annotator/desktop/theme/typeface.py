"""The program's own typefaces, so that it looks the same on every machine.

Inter and JetBrains Mono, both under the SIL Open Font License; their licences stand beside them.
"""

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
    font = QFont(TEXT_FAMILIES)
    font.setPixelSize(size)
    font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    return font


def small(*, strong: bool = False) -> QFont:
    return text(SMALL_SIZE, strong=strong)


def figures(size: int = TEXT_SIZE, *, strong: bool = False) -> QFont:
    """Figures of one width, so that times stand in columns and do not dance; not for words, whose hyphens it widens."""
    font = text(size, strong=strong)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def clock(size: int = CLOCK_SIZE) -> QFont:
    font = QFont(CLOCK_FAMILIES)
    font.setPixelSize(size)
    font.setWeight(QFont.Weight.DemiBold)
    return font
