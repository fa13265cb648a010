"""Saves a table of the summary exactly as publishing does."""

from pathlib import Path
from typing import Final

from annotator.desktop.summary.tables import BY_PERFORMER, BY_STEP, OCCURRENCES, WITHIN
from annotator.errors import StoreError, listed
from annotator.model.case import UNTITLED, Case
from annotator.progress import Progress
from annotator.publish.names import USUAL, safe_name

_ALL: Final = ("xlsx", "html", "csv", "json")
_FORMS_OF: Final = {BY_STEP: _ALL, BY_PERFORMER: _ALL, WITHIN: _ALL, OCCURRENCES: ("csv",)}
_OF_DURATIONS: Final = "Workbook (*.xlsx);;Web page (*.html);;Table (*.csv);;Data (*.json)"

ENDINGS: Final = {**dict.fromkeys((BY_STEP, BY_PERFORMER, WITHIN), _OF_DURATIONS), OCCURRENCES: "Table (*.csv)"}
"""For the question for a name, by the table."""

_NAMED: Final = {
    BY_STEP: "durations.xlsx",
    BY_PERFORMER: "performers.xlsx",
    WITHIN: "within.xlsx",
    OCCURRENCES: "occurrences.csv",
}


def usual_name(case: Case, view: str) -> str:
    """What the file is called unless somebody calls it otherwise; never after the recording."""
    return f"{USUAL if case.title == UNTITLED else safe_name(case.title)}.{_NAMED[view]}"


def file_of(case: Case, case_path: Path, view: str, facet: str, inside: str, path: Path, _progress: Progress) -> Path:
    """Write the file, whole or not at all; its ending says the form. An older one was agreed to be replaced.

    `inside` is what `summarise` calls `within`.

    Raises StoreError where it can't be written, or its name has another ending.
    """
    from annotator.publish.kinds import SUMMARIES, TABLE
    from annotator.publish.report import summary_csv
    from annotator.publish.report.summary import summary_text
    from annotator.store.published import remember
    from annotator.store.ways_out import WayOut

    form = path.suffix.lower().removeprefix(".")
    if form not in _FORMS_OF[view]:
        endings = listed([f".{one}" for one in _FORMS_OF[view]])
        raise StoreError(f"{path.name} can't be saved: end its name in {endings}")
    text: str | bytes
    if view == OCCURRENCES:
        kind, text = TABLE, summary_csv.dumps_occurrences(case, facet)
    else:
        kind = SUMMARIES[form]
        text, _ = summary_text(
            case, form, facet, by_performer=view == BY_PERFORMER, within=inside if view == WITHIN else ""
        )
    WayOut(path, kind, case_path, replace=True).write(text.encode() if isinstance(text, str) else text)
    remember(case, case_path, [path])
    return path
