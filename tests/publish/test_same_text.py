"""The same case gives the same files, whenever and wherever they are written: what is compared and kept can be trusted.

Python gives the members of a set in an order of its own for each process (`PYTHONHASHSEED`), so one process that writes
twice would not notice.
"""

import os
import subprocess
import sys

PROGRAM = """
from annotator.formats.captions import webvtt
from annotator.formats.case import casefile
from annotator.formats.tables import tags_csv
from annotator.formats.vocabulary import skos, vocabulary_csv, vocabulary_yaml
from annotator.measure.chapters import plan
from annotator.measure.durations import summarise
from annotator.publish.report import summary_csv, summary_html, summary_json, table
from annotator.store.vocabularies import find
from annotator.workflow.tag_rows import rows_of
from tests.publish.report_case import MODEL_EYE, PLACED

for case in (MODEL_EYE, PLACED):
    summary = summarise(case, by_performer=True)
    print(casefile.dumps(case, 1).decode(), tags_csv.dumps(rows_of(case)), webvtt.dumps_chapters(plan(case).chapters))
    print(table.dumps(summary), summary_csv.dumps(summary), summary_json.dumps(summary))
    print(summary_html.dumps(summary, case))
for form in (skos, vocabulary_csv, vocabulary_yaml):
    print(form.dumps(find("vitreoretinal")))
"""


def written(seed: int) -> str:
    around = os.environ | {"PYTHONHASHSEED": str(seed), "PYTHONIOENCODING": "utf-8"}
    run = subprocess.run([sys.executable, "-c", PROGRAM], env=around, capture_output=True, check=False)
    assert run.returncode == 0, run.stderr.decode()
    return run.stdout.decode()


def test_what_is_written_does_not_hang_on_the_order_of_sets() -> None:
    first, second = written(1), written(2)
    assert len(first) > 10_000
    assert first == second
