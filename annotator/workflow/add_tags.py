"""Add tags to a case from a file, all or none."""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import AnnotatorError, InvalidFile
from annotator.formats.tables import tags_csv
from annotator.formats.tables.tags_csv import TagRow
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.progress import Progress, Scaled, silent
from annotator.store.files import read_bounded
from annotator.store.session import Session
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.frames import CaseFrames
from annotator.workflow.read_chapters import rows_from_captions, rows_from_container
from annotator.workflow.tag_rows import read_rows, to_confirm
from annotator.workflow.take_recordings import keep_new_places

TABLES = {".csv", ".tsv", ".txt"}
CAPTIONS = {".vtt", ".srt"}


class Added(NamedTuple):
    """The tags added; what is near a name, was moved, not found or there already; with keep_going, the rows left out.

    Of many faults `faults` holds the first, and `more` is how many others there are.
    """

    tags: tuple[Tag, ...]
    notes: tuple[str, ...]
    faults: tuple[str, ...]
    more: int


class Offered(NamedTuple):
    """A file that lies beside a recording, and what it would add to the case."""

    source: Path
    would_add: Added


def add_tags(session: Session, source: Path, keep_going: bool = False, progress: Progress = silent) -> Added:
    """Add every row of a table, caption file or recording's own chapters to the case in one change.

    A row that says just what a tag of the case says already, or a row before it, is left out. Recordings that were
    moved get their new places in the case. Raises InvalidFile with all faults where any row is not well, unless
    `keep_going`.
    """
    rows, warnings = rows_from(source, session.case, Scaled(progress, 0, 1, 3))
    found = find_recordings(session.case, session.path, progress=Scaled(progress, 1, 2, 3))
    read = _judged(source, rows, session.case, found.frames, keep_going, Scaled(progress, 2, 3, 3))
    if read.tags:
        session.do(lambda case: edits.add(case, read.tags))
    keep_new_places(session, found.located)
    return read._replace(notes=(*warnings, *found.warnings, *read.notes))


def read_tags(source: Path, case: Case, frames: CaseFrames, progress: Progress = silent) -> Added:
    """What the good rows of a file would add to a case, and nothing added yet. Raises InvalidFile for no such file."""
    rows, warnings = rows_from(source, case, Scaled(progress, 0, 1, 2))
    read = _judged(source, rows, case, frames, keep_going=True, progress=Scaled(progress, 1, 2, 2))
    return read._replace(notes=(*warnings, *read.notes))


def offered(case: Case, frames: CaseFrames, recordings: Iterable[Path]) -> Iterator[Offered]:
    """The caption files with the names of these recordings from which tags can be added, for a case without any.

    Captions that name no step for sure, such as what was spoken, and files that can't be read are passed over.
    """
    beside = [path.with_suffix(ending) for path in recordings for ending in sorted(CAPTIONS)]
    for source in beside if not case.tags else ():
        try:
            would_add = read_tags(source, case, frames) if source.is_file() else None
        except (AnnotatorError, OSError):
            continue
        if would_add is not None and any(tag.confirmed for tag in would_add.tags):
            yield Offered(source, would_add)


def _judged(
    source: Path, rows: Sequence[TagRow], case: Case, frames: CaseFrames, keep_going: bool, progress: Progress
) -> Added:
    """The tags that the rows give and the case has not."""
    read = read_rows(rows, case, frames, progress)
    if read.faults.said and not keep_going:
        raise InvalidFile(f"{source}: nothing was added", read.faults.said, read.faults.more)
    fresh, repeats = without_known(read.tags, case, frames)
    return Added(fresh, (*repeats, *to_confirm(case, fresh), *read.moved), tuple(read.faults.said), read.faults.more)


def without_known(tags: Sequence[Tag], case: Case, frames: CaseFrames) -> tuple[tuple[Tag, ...], tuple[str, ...]]:
    """The tags that say something new, and sentences on the others.

    What was written for a tag of the case is known again, though somebody has given that another concept since.
    """
    concepts, words = {tag.concept for tag in tags}, {tag.words for tag in tags if tag.words}
    alike = (tag for tag in case.tags if tag.concept in concepts or tag.words in words)
    known = {said for tag in alike for said in _said(tag, frames)}
    said = [(tag, _said(tag, frames)) for tag in tags]
    new = [(tag, says) for tag, says in said if known.isdisjoint(says)]
    fresh = tuple({says[0]: tag for tag, says in new}.values())
    there, again = len(tags) - len(new), len(new) - len(fresh)
    repeats = []
    if there:
        repeats.append(f"{_of(there, len(tags))} in the case already; left unchanged")
    if again:
        repeats.append(f"{_of(again, len(tags))} a duplicate in the file; added once")
    return fresh, tuple(repeats)


def _said(tag: Tag, frames: CaseFrames) -> tuple[Hashable, ...]:
    """What a tag says, by its concept, and by the words that were written for that, if any.

    One made while its recording was missing does not stand on a frame yet.
    """
    end = None if tag.end is None else frames.nearest(tag.end)
    beside = frames.nearest(tag.start), end, tag.performer, tag.place, tag.certainty, tag.note, tag.strength
    by_concept = (tag.concept, *beside)
    return (by_concept, ("written as", tag.words, *beside)) if tag.words else (by_concept,)


def _of(some: int, of: int) -> str:
    return f"{some:,} of {of:,} tags {'is' if some == 1 else 'are'}"


def rows_from(source: Path, case: Case, progress: Progress = silent) -> tuple[list[TagRow], tuple[str, ...]]:
    """The rows of a file, by its ending: a table, captions, or a recording with chapters inside; and what to know."""
    kind = source.suffix.lower()
    if kind in TABLES:
        return tags_csv.loads(_text(source)), ()
    if kind in CAPTIONS:
        return rows_from_captions(source, case)
    return rows_from_container(source, case, progress)


def _text(source: Path) -> str:
    raw = read_bounded(source, tags_csv.LARGEST)
    is_marked = raw[:2] in (b"\xff\xfe", b"\xfe\xff")
    if not is_marked and b"\0" in raw:
        says = "it holds zero bytes, as text in UTF-16 does; save the table as “CSV UTF-8”"
        raise InvalidFile(str(source), [says])
    try:
        return raw.decode("utf-16" if is_marked else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise InvalidFile(str(source), [f"line {line} is not UTF-8 text; save the table as “CSV UTF-8”"]) from error
