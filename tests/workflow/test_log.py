"""The log says where a fault happened, and never whose recording it was."""

import logging
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from annotator.errors import MediaError
from annotator.workflow.log import KEPT, LARGEST, keep_fault, open_log, without_names

NAME = "Doe Jane 1960"


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Path]:
    root = logging.getLogger()
    handlers, level = list(root.handlers), root.level
    path = open_log(tmp_path / "logs" / "annotator.log")
    assert path is not None
    yield path
    for one in [one for one in root.handlers if one not in handlers]:
        root.removeHandler(one)
        one.close()
    root.setLevel(level)


def fail(path: Path) -> None:
    try:
        path.read_bytes()
    except OSError as error:
        raise MediaError(f"{path.name} is no recording") from error


def test_a_fault_is_kept_with_its_place_and_without_names(log: Path, tmp_path: Path) -> None:
    try:
        fail(tmp_path / f"{NAME}.mp4")
    except MediaError as error:
        keep_fault(error)
    text = log.read_text(encoding="utf-8")
    assert "in fail" in text
    assert "MediaError" in text
    assert "FileNotFoundError: No such file or directory" in text
    assert "Doe" not in text


@pytest.mark.parametrize(
    "message",
    [
        f"Could not open file '{NAME}.mp4'",
        f"Could not open /home/somebody/{NAME}.mp4",
        f"Could not open C:\\Users\\somebody\\{NAME}.mp4: it is damaged",
        f"Input #0, mov, from 'file:///home/somebody/{NAME}.mp4'",
        f"“{NAME}” is not a time",
        f'the title is "{NAME}"',
    ],
)
def test_messages_lose_paths_and_what_stands_in_quotes(message: str) -> None:
    assert "Doe" not in without_names(message)


def test_messages_keep_the_rest() -> None:
    says = 'qt.multimedia: "No HW decoder found" for stream 0'
    assert without_names(says) == "qt.multimedia: … for stream 0"
    assert without_names("frames 3 of 4 are late by 12 ms") == "frames 3 of 4 are late by 12 ms"


def test_it_does_not_grow_for_ever(log: Path) -> None:
    for _ in range(4 * LARGEST // 1_000 * 2):
        logging.getLogger("annotator").warning("x" * 1_000)
    files = sorted(log.parent.iterdir())
    assert len(files) == KEPT + 1
    assert all(file.stat().st_size <= LARGEST for file in files)


def test_where_no_log_can_be_written_there_is_none(tmp_path: Path) -> None:
    in_the_way = tmp_path / "logs"
    in_the_way.write_text("a file", encoding="utf-8")
    assert open_log(in_the_way / "annotator.log") is None


WINDOW = """
import os, sys
from PySide6.QtCore import qWarning
from annotator.desktop.logs import keep_faults, keep_terminal_clean
keep_terminal_clean()
keep_faults(lambda says: print("told:", says, file=sys.stderr))
os.write(2, b"Input #0, from 'Doe Jane.mp4':\\n  title : Doe Jane\\n")
qWarning("Could not open /home/somebody/Doe Jane.mp4")
raise TypeError("a number is needed")
"""


def test_libraries_write_neither_on_the_terminal_nor_names_into_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("XDG_STATE_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(name, str(tmp_path))
    done = subprocess.run([sys.executable, "-c", WINDOW], capture_output=True, text=True, check=False)
    (log,) = tmp_path.rglob("annotator.log")
    text = log.read_text(encoding="utf-8")
    assert "WARNING Could not open …" in text
    assert "TypeError: a number is needed" in text
    assert done.stderr.startswith("told: A fault in the program (TypeError: a number is needed)")
    assert "Doe" not in text + done.stderr
