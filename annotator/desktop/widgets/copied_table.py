"""A table on the clipboard: a text takes it with tabs between the cells, a spreadsheet as CSV."""

from PySide6.QtCore import QMimeData
from PySide6.QtGui import QGuiApplication


def copy_table(text: str, csv: str) -> None:
    """Put one table on the clipboard in both forms."""
    copied = QMimeData()
    copied.setText(text)
    copied.setData("text/csv", csv.encode())
    QGuiApplication.clipboard().setMimeData(copied)
