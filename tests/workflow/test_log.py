"""The log says where a fault happened, and never whose recording it was."""

import io
import logging
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from annotator.errors import MediaError
from annotator.workflow.log import KEPT, LARGEST, keep_fault, open_log, without_names
from annotator.workflow.own_folders import log_file

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
    for _ in range(100):
        logging.getLogger("annotator").warning("x" * (LARGEST // 10))
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


# --- what is told of an error ------------------------------------------------------------------------------


def kept(log: Path, error: BaseException) -> str:
    keep_fault(error)
    return log.read_text(encoding="utf-8")


def raised(error: BaseException) -> BaseException:
    try:
        raise error
    except type(error) as one:
        return one


@pytest.mark.parametrize("kind", [ArithmeticError, AttributeError, ImportError, NameError, RecursionError, TypeError])
def test_words_that_name_parts_of_the_program_are_kept(log: Path, kind: type[Exception]) -> None:
    assert f"builtins.{kind.__name__}: of the code" in kept(log, raised(kind("of the code")))


@pytest.mark.parametrize("kind", [ValueError, KeyError, RuntimeError, UnicodeError, LookupError, MediaError])
def test_words_that_may_be_somebody_s_are_not(log: Path, kind: type[Exception]) -> None:
    text = kept(log, raised(kind(NAME)))
    assert kind.__name__ in text
    assert "Doe" not in text


def test_of_an_error_of_the_system_its_own_sentence_is_kept_and_not_the_file(log: Path) -> None:
    text = kept(log, raised(OSError(28, "No space left on device", f"{NAME}.mp4")))
    assert "builtins.OSError: No space left on device" in text
    assert "Doe" not in text
    assert "builtins.OSError\n" in kept(log, raised(OSError(NAME))), "one without a number has no such sentence"


def test_what_an_error_came_of_is_told_and_what_it_hides_is_not(log: Path) -> None:
    def fails(cause: BaseException | None, hide: bool) -> BaseException:
        try:
            try:
                raise TypeError("the first")
            except TypeError as first:
                if hide:
                    raise AttributeError("the second") from cause
                raise AttributeError("the second") from first
        except AttributeError as second:
            return second

    text = kept(log, fails(None, hide=False))
    assert text.index("the second") < text.index("which came of") < text.index("the first")
    hidden = kept(log, fails(None, hide=True))[len(text) :]
    assert "the second" in hidden
    assert "the first" not in hidden
    other = kept(log, fails(NameError("the cause"), hide=True))[len(text) + len(hidden) :]
    assert "the cause" in other
    assert "the first" not in other


def test_errors_that_came_of_each_other_end(log: Path) -> None:
    one, other = raised(TypeError("one")), raised(TypeError("other"))
    one.__cause__, other.__cause__ = other, one
    text = kept(log, one)
    assert (text.count("TypeError: one"), text.count("TypeError: other")) == (1, 1)


def test_what_another_handler_made_of_the_error_is_neither_taken_nor_changed(log: Path) -> None:
    record = logging.LogRecord("annotator", logging.ERROR, "", 0, "a fault", None, None)
    error = raised(ValueError(NAME))
    record.exc_info = (ValueError, error, error.__traceback__)
    before = record.exc_text = logging.Formatter().formatException(record.exc_info)
    assert "Doe" in before
    logging.getLogger().handle(record)
    assert "Doe" not in log.read_text(encoding="utf-8")
    assert record.exc_text == before


def test_what_is_of_use_to_nobody_else_is_not_kept(log: Path) -> None:
    logging.getLogger("annotator").debug("in passing")
    logging.getLogger("annotator").info("of note")
    text = log.read_text(encoding="utf-8")
    assert "in passing" not in text
    assert "annotator INFO of note" in text


def test_text_that_no_file_can_hold_is_kept_as_far_as_it_goes(log: Path) -> None:
    logging.getLogger("annotator").warning("half a \ud83d pair")
    assert "half a \\ud83d pair" in log.read_text(encoding="utf-8")


class Full(io.StringIO):
    """A file on a disk that is full."""

    def write(self, text: str, /) -> int:
        raise OSError(28, "No space left on device")


def test_a_full_disk_stops_nobody(
    log: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (handler,) = [one for one in logging.getLogger().handlers if getattr(one, "baseFilename", "") == str(log)]
    with monkeypatch.context() as now:
        now.setattr(handler, "stream", Full())
        logging.getLogger("annotator").warning("lost")
        keep_fault(raised(TypeError("lost")))
    assert capsys.readouterr().err == ""
    logging.getLogger("annotator").warning("there is room again")
    assert "there is room again" in log.read_text(encoding="utf-8")


def test_without_a_place_given_it_lies_where_logs_do(tmp_path: Path, log: Path) -> None:
    assert open_log() == log_file()
    assert log_file().exists()
