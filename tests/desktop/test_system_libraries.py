"""What is missing is said before Qt could end the program."""

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from annotator.desktop import system_libraries
from annotator.desktop.system_libraries import WindowUnavailable, check_window_possible, missing_packages, needed_on
from tests.running import PATIENCE

linux_only = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems bring what Qt needs")


def test_libraries_that_are_there_are_not_missing() -> None:
    assert missing_packages(needed_on("offscreen")) == []


def test_a_missing_library_is_named_by_its_package() -> None:
    assert missing_packages({"libnowhere-to-be-found.so.7": "libnowhere7", "libnor-this.so": "libnowhere7"}) == [
        "libnowhere7"
    ]


def test_each_platform_asks_for_its_own() -> None:
    assert "libxcb-cursor0" in needed_on("xcb").values()
    assert "libxcb-cursor0" not in needed_on("wayland").values()
    assert set(needed_on("offscreen")) < set(needed_on("wayland"))


@linux_only
def test_a_missing_library_stops_the_window_with_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(system_libraries.ALWAYS, "libnowhere-to-be-found.so.7", "libnowhere7")
    with pytest.raises(WindowUnavailable, match=r"apt-get install libnowhere7$"):
        check_window_possible()


@linux_only
def test_without_a_display_the_command_says_so_and_ends() -> None:
    bare = {
        key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    done = subprocess.run(
        [sys.executable, "-m", "annotator", "open"],
        env=bare,
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE,
    )
    assert done.returncode == 2
    assert done.stderr.startswith("annotator: There is no display")
    assert done.stderr.count("\n") == 1


def said_without_pyside() -> str:
    """What `annotator open` says where PySide6 is not installed."""
    program = (
        "import sys; from importlib.abc import MetaPathFinder\n"
        "import importlib.util as util; found = util.find_spec\n"
        "util.find_spec = lambda name, *rest: None if name == 'PySide6' else found(name, *rest)\n"
        "sys.argv = ['annotator', 'open']; from annotator.cli.main import run; run()"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False, timeout=PATIENCE
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    return done.stderr


@linux_only
def test_without_pyside_the_command_says_how_to_install_it_for_this_very_python() -> None:
    said, _, command = said_without_pyside().strip().partition(" To install it, run: ")
    assert said == "annotator: The window needs PySide6, which is not installed."
    checkout = Path(__file__).resolve().parents[2]
    assert shlex.split(command) == [sys.executable, "-m", "pip", "install", "-e", f"{checkout}[desktop]"]


@linux_only
def test_a_shell_takes_the_command_as_it_stands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Folders with blanks and quotes; brackets, too, are a pattern where a file has a name that fits."""
    folder = tmp_path / "the surgeon's films"
    folder.mkdir()
    (folder / "pyproject.toml").touch()
    (tmp_path / "the surgeon's filmsd").touch()
    monkeypatch.setattr(system_libraries, "SOURCE", folder)
    taken = subprocess.run(
        ["sh", "-c", f"printf '%s\\n' {system_libraries.install_qt()}"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert taken.stdout.splitlines()[-2:] == ["-e", f"{folder}[desktop]"]


@linux_only
def test_what_was_installed_from_a_wheel_is_added_to_by_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(system_libraries, "SOURCE", tmp_path)
    assert system_libraries.install_qt().endswith(" -m pip install 'surgical-step-annotator[desktop]'")


def test_on_windows_the_command_is_quoted_for_its_shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system_libraries, "SOURCE", tmp_path)
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(sys, "executable", r"C:\Program Files\Python\python.exe")
    assert system_libraries.install_qt() == (
        r'"C:\Program Files\Python\python.exe" -m pip install surgical-step-annotator[desktop]'
    )
