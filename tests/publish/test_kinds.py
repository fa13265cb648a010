"""What kind a published file is, told from its content, whatever a stranger has put into it."""

import re
import subprocess
import sys
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annotator.formats.captions import webvtt
from annotator.measure.durations import summarise
from annotator.publish import kinds
from annotator.publish.report import summary_csv, summary_html, summary_json, summary_xlsx, table
from annotator.publish.video.kind_of_recording import RECORDING
from annotator.store.ways_out import Kind
from tests.publish.report_case import MODEL_EYE, PLACED, harmful

WORKBOOK = summary_xlsx.dumps(summarise(MODEL_EYE))


KINDS = [*kinds.SUMMARIES.values(), *kinds.STILLS.values(), kinds.CHAPTERS, RECORDING]


def own() -> list[tuple[Kind, bytes]]:
    """All that is written, of a usual case and of one whose names mean harm."""
    found: list[tuple[Kind, bytes]] = [(kinds.CHAPTERS, webvtt.dumps_chapters(()).encode())]
    for case in (MODEL_EYE, PLACED, harmful()):
        for by_performer in (False, True):
            summary = summarise(case, by_performer=by_performer)
            found += [
                (kinds.TABLE, summary_csv.dumps(summary).encode()),
                (kinds.TABLE, summary_csv.dumps_places(summary).encode()),
                (kinds.DATA, summary_json.dumps(summary).encode()),
                (kinds.PAGE, summary_html.dumps(summary, case).encode()),
                (kinds.WORKBOOK, summary_xlsx.dumps(summary)),
                (kinds.LISTING, table.dumps(summary).encode()),
            ]
    return found


def test_what_is_written_is_known_again_and_taken_for_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "file"
    for kind, data in (all_own := own()):
        path.write_bytes(data)
        assert kind.is_like(path)
        assert kind.is_own(path)
        taken_for = {other.name for other, _ in all_own if other.is_own(path)}
        assert taken_for == {kind.name}


def test_a_workbook_that_was_saved_again_is_somebody_elses(tmp_path: Path) -> None:
    saved = BytesIO()
    with zipfile.ZipFile(BytesIO(WORKBOOK)) as before, zipfile.ZipFile(saved, "w") as after:
        for part in before.infolist():
            data = before.read(part)
            if part.filename == "docProps/core.xml":
                data = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>2026-11-28T10:00:00Z", data)
            after.writestr(part, data)
    path = tmp_path / "d.xlsx"
    path.write_bytes(saved.getvalue())
    assert kinds.WORKBOOK.is_like(path)
    assert not kinds.WORKBOOK.is_own(path)


def test_a_part_that_is_too_large_is_not_unpacked(tmp_path: Path) -> None:
    path = tmp_path / "d.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", bytes(50_000_000))
    assert not kinds.WORKBOOK.is_like(path)


def test_a_part_that_cannot_be_unpacked_is_no_fault(tmp_path: Path) -> None:
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", b"x" * 5_000)
    start = len("xl/workbook.xml") + 30  # of the packed data: behind a local header of 30 bytes and the name
    data = bytearray(packed.getvalue())
    data[start : start + 6] = b"\xff" * 6
    path = tmp_path / "d.xlsx"
    path.write_bytes(bytes(data))
    assert not kinds.WORKBOOK.is_like(path)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, len(WORKBOOK) - 1), st.binary(max_size=3)), max_size=4), st.integers(0, 4_000))
def test_a_damaged_workbook_is_no_fault(tmp_path: Path, changes: list[tuple[int, bytes]], cut: int) -> None:
    data = bytearray(WORKBOOK)
    for at, put in changes:
        data[at : at + len(put)] = put
    path = tmp_path / "d.xlsx"
    path.write_bytes(bytes(data[: len(data) - cut]))
    for kind in KINDS:
        assert kind.is_like(path) in (True, False)
        assert kind.is_own(path) in (True, False)


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"WEBVTT", b"{", b"\xef\xbb\xbf<html>", b"\xff\xd8\xff", b"\0"])
def test_anything_may_be_asked_of_anything(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(data)
    for kind in KINDS:
        assert kind.is_like(path) in (True, False)
        assert kind.is_own(path) in (True, False)


def test_what_a_table_is_takes_no_video_library_to_tell() -> None:
    """`annotator durations` would start a third of a second later."""
    script = "import sys, annotator.publish.kinds; print({'av', 'cv2', 'xlsxwriter', 'webvtt'} & sys.modules.keys())"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout == "set()\n"
