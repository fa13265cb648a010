"""Output that goes nowhere: full, closed, or no longer read."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate

pytestmark = pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is always full")


def run(arguments: str, **variables: str) -> subprocess.CompletedProcess[str]:
    """`annotator ARGUMENTS` as a shell runs it, with what the shell makes of its streams."""
    command = f'"{sys.executable}" -m annotator {arguments}'
    environment = os.environ | variables
    return subprocess.run(["sh", "-c", command], capture_output=True, text=True, env=environment, check=False)


PRINTING = ["--help", "--version", "tags --help", "vocab list", "vocab compare general vitreoretinal"]


@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
@pytest.mark.parametrize("arguments", PRINTING)
def test_where_nothing_can_be_printed_that_is_said(arguments: str, unbuffered: str) -> None:
    told = run(f"{arguments} >/dev/full", PYTHONUNBUFFERED=unbuffered)
    assert told.returncode == 2
    assert told.stderr == "annotator: the result can't be printed: the disk is full; free some space and try again\n"


@pytest.mark.parametrize("arguments", PRINTING[:4])
def test_a_closed_output_is_said(arguments: str) -> None:
    told = run(f"{arguments} >&-")
    assert told.returncode == 2
    assert told.stderr == "annotator: the result can't be printed: the output is closed; keep it open\n"


@pytest.mark.parametrize("stream", ["2>&-", "2>/dev/full"])
@pytest.mark.parametrize(
    ("arguments", "status"), [("vocab list", 0), ("vocab list nowhere.yaml", 2), ("nonsense", 2), ("", 2), ("vocab", 2)]
)
def test_where_no_message_can_be_read_the_status_tells(arguments: str, status: int, stream: str) -> None:
    told = run(f"{arguments} {stream}")
    assert told.returncode == status
    assert told.stderr == ""
    assert ("vitreoretinal" in told.stdout) == (status == 0)


def test_with_every_stream_closed_a_file_is_still_what_it_should_be(tmp_path: Path) -> None:
    """The number of a closed stream would else be given to the next file, and messages be written into it."""
    told = run(f'vocab convert general --out "{tmp_path}/general.yaml" <&- >&- 2>&-')
    assert told.returncode == 0
    assert run(f'vocab compare general "{tmp_path}/general.yaml"').stdout == ""
    assert [path.name for path in tmp_path.iterdir()] == ["general.yaml"]


def test_a_reader_that_has_seen_enough_is_no_failure() -> None:
    status = subprocess.run(
        ["bash", "-c", f'"{sys.executable}" -m annotator vocab list vitreoretinal | true; exit ${{PIPESTATUS[0]}}'],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (status.returncode, status.stderr) == (0, "")


@pytest.mark.parametrize("times", [1, 2], ids=["once", "again while that is answered"])
def test_being_stopped_while_printing_is_no_traceback(
    annotate: Annotate, monkeypatch: pytest.MonkeyPatch, times: int
) -> None:
    left = [signal.SIGINT] * times

    def stopped(text: str) -> str:
        if left:
            signal.raise_signal(left.pop())
        return text

    for place in ("verb", "telling"):
        monkeypatch.setattr(f"annotator.cli.{place}.shown", stopped)
    told = annotate("vocab", "list", "general")
    assert (told.status, told.out, left) == (130, "", [])
    assert told.err.strip() == ("annotator: stopped; nothing is left half-written" if times == 1 else "")
