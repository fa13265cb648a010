"""A folder of cases whose numbers can be worked out by hand, and an index that stays inside the test."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the index is kept."""
    home = tmp_path_factory.mktemp("home")
    for name in ("XDG_CACHE_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home))
    return home / "surgical-step-annotator"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The library; the index is not in it."""
    made = tmp_path / "cases"
    made.mkdir()
    return made
