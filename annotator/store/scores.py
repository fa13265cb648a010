"""The score sheet, built in or a department's own, and the scores of a case, in a table beside it."""

from collections.abc import Callable, Sequence
from pathlib import Path

from annotator.bundled import bundled
from annotator.errors import StoreError
from annotator.model.sheet import Score, Sheet
from annotator.store import vocabularies
from annotator.store.atomic import write_beside
from annotator.store.files import facts_of, read_beside
from annotator.store.reading import CASE_ENDING

ENDING = ".scores.csv"
LARGEST = 1_000_000
"""Bytes that are read of the scores of a case."""

Change = Callable[[Sequence[Score]], Sequence[Score]]


def find_sheet(path: Path | None = None) -> Sheet:
    """The sheet in a file; without one the department's own, which stands in its own folder, or the built-in one.

    Raises StoreError where it can't be read, InvalidFile with every fault of it.
    """
    from annotator.formats.scores import sheet_yaml

    own = vocabularies.own_folder() / vocabularies.SHEET
    found = path or (own if own.is_file() else bundled("vocab") / vocabularies.SHEET)
    text = vocabularies.read_text(found)
    with vocabularies.naming(found):
        return sheet_yaml.loads(text)


def scores_path(case_path: Path) -> Path:
    """Where the scores of a case stand."""
    return case_path.with_name(case_path.name.removesuffix(CASE_ENDING) + ENDING)


def read_scores(case_path: Path, sheet: Sheet) -> tuple[Score, ...]:
    """The scores of a case, none where nobody scored it. Raises StoreError, or InvalidFile with every fault."""
    from annotator.formats.scores import scores_csv

    path = scores_path(case_path)
    if facts_of(path) is None:
        return ()
    try:
        text = read_beside(path, LARGEST).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StoreError(f"{path} is not UTF-8 text: byte {error.start} can't be read") from error
    with vocabularies.naming(path):
        return scores_csv.loads(text, sheet)


def change_scores(case_path: Path, sheet: Sheet, change: Change) -> tuple[Score, ...]:
    """Change the scores of a case, whole or not at all; returns what now stands there.

    Raises what `read_scores` raises, and StoreError where the table can't be written or another program wrote it
    meanwhile; it is then as that left it.
    """
    from annotator.formats.scores import scores_csv

    path = scores_path(case_path)
    before = facts_of(path)
    scores = tuple(change(read_scores(case_path, sheet)))

    def last_look() -> None:
        if facts_of(path) != before:
            raise StoreError(f"{path} was changed by another program meanwhile; run this again")

    # Without a mark of its encoding, spreadsheets take a table's umlauts for something else.
    write_beside(path, scores_csv.dumps(sheet, scores).encode("utf-8-sig"), last_look)
    return scores
