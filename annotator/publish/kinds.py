"""The kinds of files that are published, each with how an older one is known again: by its content.

That of recordings stands in `kind_of_recording`, as it needs libraries that take long to load.
"""

import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Final

from annotator.formats.tables.tags_csv import TERM
from annotator.publish.options import StillForm
from annotator.publish.report import summary_csv
from annotator.publish.report.wording import NO_TIME
from annotator.store.ways_out import Kind, head_of, is_text

_LARGEST_PART: Final = 1_000_000
"""Bytes of a part of a workbook that is read; ours have some hundred."""


def _text(holds: Callable[[str], bool]) -> Callable[[Path], bool]:
    """Whether a file is text of which this is true, as far as its beginning tells."""

    def is_so(path: Path) -> bool:
        head = head_of(path)
        return is_text(head) and holds(head.decode("utf-8", "ignore").removeprefix("\ufeff").lstrip())

    return is_so


def _begins(*with_one: bytes) -> Callable[[Path], bool]:
    return lambda path: head_of(path).startswith(with_one)


def _is_table(text: str) -> bool:
    """Anything that is not plainly something else: a table of one column is only lines."""
    return not text.startswith(("{", "<", "WEBVTT"))


def _is_own_table(text: str) -> bool:
    headers = (
        summary_csv.COLUMNS,
        ("performer", *summary_csv.COLUMNS),
        ("performer", *summary_csv.COLUMNS, TERM),
        summary_csv.PLACE_COLUMNS,
        summary_csv.OCCURRENCE_COLUMNS,
    )
    return text.partition("\n")[0].rstrip("\r") in [",".join(header) for header in headers]


def _is_own_listing(text: str) -> bool:
    return " · " in text.partition("\n")[0] and "\n\n" in text and "longest" in text and "first at" in text


def _is_page(text: str) -> bool:
    return text[:15].lower().startswith(("<!doctype html", "<html"))


def _is_workbook(path: Path) -> bool:
    return _part_of(path, "xl/workbook.xml") is not None


def _is_own_workbook(path: Path) -> bool:
    """One that a spreadsheet program has saved since holds the time of that, and somebody's work."""
    properties = _part_of(path, "docProps/core.xml") or b""
    return properties.count(NO_TIME.encode()) == 2 and b"<dc:title>Durations: " in properties


def _part_of(path: Path, name: str) -> bytes | None:
    """The content of a part of a workbook; None where the file holds no such part."""
    try:
        with zipfile.ZipFile(path) as parts:
            return parts.read(name) if parts.getinfo(name).file_size <= _LARGEST_PART else None
    except (OSError, EOFError, KeyError, ValueError, RuntimeError, zlib.error, zipfile.BadZipFile):
        return None


def _is_own_chapter_file(text: str) -> bool:
    from annotator.formats.captions.webvtt import (
        PROVENANCE,  # with a library that whoever writes a table has no use for
    )

    return text.startswith("WEBVTT") and PROVENANCE in text


CHAPTERS: Final = Kind(
    "a chapter file",
    (".vtt",),
    _text(lambda text: text.startswith("WEBVTT")),
    _text(_is_own_chapter_file),
)
TABLE: Final = Kind("a table", (".csv", ".tsv", ".txt"), _text(_is_table), _text(_is_own_table))
LISTING: Final = Kind(
    "a table", (".txt",), _text(lambda text: _is_table(text) or _is_own_listing(text)), _text(_is_own_listing)
)
DATA: Final = Kind(
    "a file of data",
    (".json",),
    _text(lambda text: text.startswith(("{", "["))),
    _text(lambda text: text.startswith('{\n  "case": ') and '"duration_ms": ' in text),
)
WORKBOOK: Final = Kind("a workbook", (".xlsx",), _is_workbook, _is_own_workbook)
PAGE: Final = Kind(
    "a page",
    (".html", ".htm"),
    _text(_is_page),
    _text(lambda text: _is_page(text) and 'name="generator" content="surgical-step-annotator ' in text),
)
STILLS: Final[dict[StillForm, Kind]] = {
    "png": Kind("a picture", (".png",), _begins(b"\x89PNG"), _begins(b"\x89PNG")),
    "jpg": Kind("a picture", (".jpg", ".jpeg"), _begins(b"\xff\xd8\xff"), _begins(b"\xff\xd8\xff")),
}
SUMMARIES: Final = {"csv": TABLE, "json": DATA, "xlsx": WORKBOOK, "html": PAGE, "table": LISTING}
"""By the form of a summary."""
