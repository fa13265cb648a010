"""Opening a file, a page or a folder in the system's program for it."""

from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices


def open_path(path: Path) -> bool:
    """Open a file or a folder; whether the system has something to open it with."""
    return QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))
