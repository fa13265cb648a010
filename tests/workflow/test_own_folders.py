"""What the program keeps for itself lies in the folders that the system has for it, under the program's own name."""

import sys
from pathlib import Path

import pytest

from annotator.workflow.own_folders import cache_folder, log_file


@pytest.mark.skipif(sys.platform != "linux", reason="the XDG Base Directory Specification is that of Linux desktops")
def test_the_folders_are_those_that_the_system_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8: caches may be deleted at any time, logs are state and stay."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    assert cache_folder() == tmp_path / "cache" / "surgical-step-annotator"
    assert log_file().is_relative_to(tmp_path / "state" / "surgical-step-annotator")
    assert log_file().name == "annotator.log"


def test_asking_for_a_place_makes_nothing(own_folders: Path) -> None:
    assert cache_folder().is_relative_to(own_folders)
    assert log_file().is_relative_to(own_folders)
    assert list(own_folders.iterdir()) == []


def test_deleting_the_cache_leaves_the_log() -> None:
    assert not log_file().is_relative_to(cache_folder())
