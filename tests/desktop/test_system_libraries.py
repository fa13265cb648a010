"""What is missing is said before Qt could end the program."""

import os
import subprocess
import sys

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


def test_without_pyside_the_command_says_how_to_install_it(tmp_path: object) -> None:
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
    assert 'in the folder of the source, run: python -m pip install ".[desktop]"' in done.stderr
