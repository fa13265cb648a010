"""The edge of the command line: one sentence, the right exit status, nothing heavy at the start."""

import subprocess
import sys
from pathlib import Path

import pytest

from annotator.cli.main import VERBS
from tests.cli.conftest import Annotate

HEAVY = {
    "PySide6",
    "cv2",
    "av",
    "numpy",
    "scipy",
    "statsmodels",
    "pandas",
    "rdflib",
    "yaml",
    "jinja2",
    "msgspec",
    "xlsxwriter",
}
NOT_YET = {"annotator.cli.verb", "difflib", "pathlib", "traceback"}
"""Of little weight each, and together a tenth of the start."""


@pytest.mark.parametrize("verb", VERBS)
def test_every_command_has_help_with_an_example(annotate: Annotate, verb: str) -> None:
    shown = annotate(verb, "--help")
    assert shown.status == 0
    assert f"Example:  annotator {verb}" in shown.out


@pytest.mark.parametrize("verb", [verb for verb in VERBS if verb not in ("vocab", "library")])
def test_every_command_can_be_quiet(annotate: Annotate, verb: str) -> None:
    assert "--quiet" in annotate(verb, "--help").out


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys; before = {*sys.modules}; from annotator.cli.main import main; "
        "main(['--help'], standalone_mode=False); print(*sys.modules.keys() - before)"
    )
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not (HEAVY | NOT_YET) & set(loaded)


def test_stopping_it_while_it_loads_shows_no_traceback() -> None:
    """What is loaded first asks to be stopped, as Ctrl+C would at that moment."""
    code = (
        "import signal, sys\n"
        "class Impatient:\n"
        "    def find_spec(self, name, *_):\n"
        "        if name == 'click': signal.raise_signal(signal.SIGINT)\n"
        "sys.meta_path.insert(0, Impatient())\n"
        "sys.argv = ['annotator', '--help']\n"
        "from annotator.cli import run\n"
        "run()\n"
    )
    stopped = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (stopped.returncode, stopped.stdout, stopped.stderr) == (130, "", "")


def test_an_unknown_command_gets_the_nearest(annotate: Annotate) -> None:
    refused = annotate("chapter")
    assert refused.status == 2
    assert refused.err == "annotator: There is no command “chapter”; did you mean “chapters”?\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("chapters", "CASE"), "--out"),
        (("durations", "CASE", "--facet", "stp"), "did you mean “step”"),
        (("durations", "CASE", "--format", "xlsx"), "--out"),
        (("tags", "CASE", "--keep-going"), "--add"),
        (("new", "VIDEO", "--vocabulary", "vitreoretnal", "--out", "OUT"), "did you mean “vitreoretinal”"),
        (
            ("new", "VIDEO", "--vocabulary", "eye", "--out", "OUT"),
            "available: “cataract”, “general” and “vitreoretinal”",
        ),
        (("new", "VIDEO"), "Missing option '--out'; annotator new --help shows an example"),
        (("new",), "Missing argument 'VIDEO...'; annotator new --help shows an example"),
        (("tags", "VIDEO"), "it is not text; annotator new makes a case of a recording"),
        (("new", "VIDEO", "VIDEO", "--out", "OUT"), "once"),
        (("new", "VIDEO", "--out", "CASE"), "never overwritten"),
        (("check", "VIDEO"), ""),
        (("tags", "nowhere.jsonld"), "nowhere.jsonld"),
    ],
)
def test_wrong_use_is_one_sentence_and_exit_2(
    annotate: Annotate, case: Path, video: Path, tmp_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    named = {"CASE": case, "VIDEO": video, "OUT": tmp_path / "out.jsonld"}
    refused = annotate(*(named.get(word, word) for word in arguments))
    assert refused.status == 2
    assert refused.err.startswith("annotator: ")
    assert words in refused.err
    assert refused.out == ""
    assert not (tmp_path / "out.jsonld").exists()


def test_a_fault_in_the_program_is_no_traceback(annotate: Annotate, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_name: str) -> None:
        raise ZeroDivisionError("on purpose")

    monkeypatch.setattr("annotator.cli.main.import_module", broken)
    told = annotate("demo")
    assert told.status == 70
    assert "Traceback" not in told.err
    assert "please report it" in told.err


def test_stopping_is_said(annotate: Annotate, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(_name: str) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("annotator.cli.main.import_module", stopped)
    assert annotate("demo").status == 130
