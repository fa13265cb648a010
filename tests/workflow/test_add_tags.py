"""Many rows take a while: how far that is can be seen, and it can be stopped."""

import pytest

from annotator.errors import Cancelled
from annotator.formats.tables.tags_csv import TagRow
from annotator.workflow.frames import CaseFrames
from annotator.workflow.tag_rows import read_rows
from tests.vocabulary.drawn_by_hand import case, concept, vocabulary

CASE = case(vocabulary(concept("core")), [])
ROWS = [TagRow(f"row {number}", "1", "2", "core") for number in range(2, 3_002)]


def test_the_rows_that_are_read_are_counted() -> None:
    told: list[tuple[float, float]] = []
    assert (
        len(read_rows(ROWS, CASE, CaseFrames(CASE, {}), lambda done, total: told.append((done, total))).tags) == 3_000
    )
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert len(told) > 3
    assert {total for _, total in told} == {3_000}


def test_reading_rows_can_be_stopped() -> None:
    def stop(done: float, _total: float) -> None:
        if done:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        read_rows(ROWS, CASE, CaseFrames(CASE, {}), stop)
