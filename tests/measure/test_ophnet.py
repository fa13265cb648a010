"""Durations of 743 labelled eye operations, where the labels are at hand.

Set ANNOTATOR_OPHNET to a folder with `OphNet2024_loca_all.csv` (from the data set's `annotation` folder),
and, for the second test, `ophnet_reference.json` beside it or one folder up: per video the time covered
(`union_covered_s`) and per label the number of segments, their summed length and their first start.
"""

import json
import os
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from annotator.measure.durations import summarise
from annotator.model.case import Case
from tests.measure import ophnet
from tests.measure.grid import runs

FOLDER = os.environ.get("ANNOTATOR_OPHNET", "")
TABLE = Path(FOLDER) / "OphNet2024_loca_all.csv"
pytestmark = pytest.mark.skipif(not (FOLDER and TABLE.is_file()), reason="ANNOTATOR_OPHNET names no folder of labels")


@pytest.fixture(scope="module")
def cases() -> dict[str, Case]:
    return ophnet.cases(TABLE)


def test_every_operation_agrees_with_a_count_on_a_grid(cases: dict[str, Case]) -> None:
    for video, case in cases.items():
        rows = {row.notation: row for row in summarise(case, "phase").rows}
        for notation, row in rows.items():
            grid = np.zeros(case.duration // 10 + 1, bool)
            for tag in case.tags:
                if tag.concept.endswith(f"#{notation}"):
                    start, end = case.range_of(tag)
                    assert start % 10 == end % 10 == 0, "the labels have hundredths of a second"
                    grid[start // 10 : end // 10] = True
            lengths = [10 * (end - start) for start, end in runs(grid)]
            longest = max(lengths) if len(lengths) > 1 else None
            assert (row.visits, row.total, row.longest) == (len(lengths), sum(lengths), longest), (video, notation)


def test_every_operation_agrees_with_published_sums(cases: dict[str, Case]) -> None:
    reference = next(
        (one for one in (TABLE.parent, TABLE.parent.parent) if (one / "ophnet_reference.json").is_file()), None
    )
    if reference is None:
        pytest.skip("there is no ophnet_reference.json beside the labels")
    published = json.loads((reference / "ophnet_reference.json").read_text(encoding="utf-8"))["videos"]
    assert cases.keys() == published.keys()
    differing = {video for video in published if not _agrees(cases[video], published[video])}
    assert not differing


def _agrees(case: Case, published: dict[str, Any]) -> bool:
    """Time covered, labels and first starts are equal; totals once time labelled twice is counted once.

    The published sums count a label's overlapping segments twice, and touching ones as two.
    """
    summary = summarise(case, "phase")
    rows = {row.notation: row for row in summary.rows}
    labels = published["per_label"]
    return (
        summary.duration - (summary.untagged or 0) == _ms(published["union_covered_s"])
        and rows.keys() == labels.keys()
        and all(rows[label].first_start == _ms(one["first_start_s"]) for label, one in labels.items())
        and all(rows[label].total == _ms(one["total_s"]) - _twice(case, label) for label, one in labels.items())
        and all(rows[label].visits <= one["n"] for label, one in labels.items())
    )


def _twice(case: Case, label: str) -> int:
    """Time that segments of one label share, counted on a grid as often as it is counted too much."""
    depth = np.zeros(case.duration // 10 + 1, int)
    for tag in case.tags:
        if tag.concept.endswith(f"#{label}"):
            start, end = case.range_of(tag)
            depth[start // 10 : end // 10] += 1
    return int(10 * np.clip(depth - 1, 0, None).sum())


def _ms(seconds: float) -> int:
    return round(Decimal(str(seconds)) * 1000)
