"""Add tags to a case from a file, all or none."""

from pathlib import Path
from typing import NamedTuple

from annotator.errors import InvalidFile
from annotator.formats import tags_csv
from annotator.formats.tags_csv import TagRow
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.progress import Progress, part_of, silent
from annotator.store.files import read_bounded
from annotator.store.session import Session
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.read_chapters import rows_from_captions, rows_from_container
from annotator.workflow.tag_rows import read_rows

TABLES = {".csv", ".tsv", ".txt"}
CAPTIONS = {".vtt", ".srt"}


class Added(NamedTuple):
    """The tags added; what was moved or not found; with keep_going, the faults of rows left out."""

    tags: tuple[Tag, ...]
    notes: tuple[str, ...]
    faults: tuple[str, ...]


def add_tags(session: Session, source: Path, keep_going: bool = False, progress: Progress = silent) -> Added:
    """Add every row of a table, caption file or recording's own chapters to the case in one change.

    Raises InvalidFile with all faults where any row is not well, unless `keep_going`.
    """
    rows, warnings = rows_from(source, session.case, part_of(progress, 0, 2))
    found = find_recordings(session.case, session.path, progress=part_of(progress, 1, 2))
    read = read_rows(rows, session.case, found.frames)
    if read.faults and not keep_going:
        raise InvalidFile(f"{source}: nothing was added", list(read.faults))
    if read.tags:
        session.do(lambda case: edits.add(case, read.tags))
    return Added(read.tags, (*warnings, *found.warnings, *read.moved), read.faults)


def rows_from(source: Path, case: Case, progress: Progress = silent) -> tuple[list[TagRow], tuple[str, ...]]:
    """The rows of a file, by its ending: a table, captions, or a recording with chapters inside; and what to know."""
    kind = source.suffix.lower()
    if kind in TABLES:
        return tags_csv.loads(_text(source)), ()
    if kind in CAPTIONS:
        return rows_from_captions(source, case.vocabulary)
    return rows_from_container(source, case, progress)


def _text(source: Path) -> str:
    raw = read_bounded(source, tags_csv.LARGEST)
    try:
        return raw.decode("utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise InvalidFile(str(source), [f"line {line} is not UTF-8 text; save the table as “CSV UTF-8”"]) from error
