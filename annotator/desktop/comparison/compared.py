"""The long part of a comparison, done beside the window: the other case is read and laid beside the open one."""

from functools import partial
from pathlib import Path
from typing import NamedTuple

from annotator.desktop.tasks.task import Job
from annotator.desktop.widgets.table import Line, Table, time_cell, word_cell
from annotator.measure.agreement.account import account, clipped, in_one_vocabulary
from annotator.measure.agreement.compare import Agreement, compare
from annotator.measure.agreement.spans import Piece, Span
from annotator.model.case import Case
from annotator.progress import Progress
from annotator.publish.report.agreement_table import UNTAGGED, figures
from annotator.store.reading import read_case
from annotator.workflow.compare_cases import Named, refuse_other_recordings, refuse_unfinished

HEADS = ("Start", "This case", "Other", "Length")


class Compared(NamedTuple):
    """Two cases side by side in one category.

    case, other    the open one as it was, and the other one
    agreement      the figures; `pieces` of it are the rows of `table`, whose `at` is the place in them
    mine, theirs   what each says is going on
    """

    case: Case
    other: Case
    facet: str
    agreement: Agreement
    table: Table
    mine: tuple[Span, ...]
    theirs: tuple[Span, ...]
    lines: tuple[str, ...]

    @property
    def disagreements(self) -> tuple[Piece, ...]:
        return self.agreement.disagreements


def read_other(case: Case, path: Path, other: Path) -> Job:
    """Task that brings the Case of another person. Raises InvalidEdit where the two must not be compared."""
    return partial(_other, Named(path, case), other)


def compared(case: Case, other: Case, facet: str) -> Job:
    """Task that brings a Compared."""
    return partial(_compared, case, other, facet)


def _other(mine: Named, path: Path, progress: Progress) -> Case:
    both = [mine, Named(path, read_case(path).case)]
    refuse_unfinished(both)
    refuse_other_recordings(both, progress)
    return both[1].case


def _compared(case: Case, other: Case, facet: str, _progress: Progress) -> Compared:
    found = compare(case, other, facet)
    (mine, theirs), _ = in_one_vocabulary([case, other])
    spans = [tuple(clipped(account(one, facet).marked, found.within).spans) for one in (mine, theirs)]
    lines = (_line(found, piece, number) for number, piece in enumerate(found.disagreements))
    table = Table(HEADS, tuple(lines), HEADS[1])
    return Compared(case, other, facet, found, table, spans[0], spans[1], tuple(figures(found)))


def _line(found: Agreement, piece: Piece, number: int) -> Line:
    names = (word_cell(UNTAGGED if name is None else found.labels.get(name, name)) for name in piece.names)
    return Line((time_cell(piece.start), *names, time_cell(piece.length)), str(piece.start), number)
