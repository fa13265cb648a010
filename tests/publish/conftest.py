"""What publishing keeps of the recordings stays inside the test."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of what is kept."""
    kept = tmp_path_factory.mktemp("kept")
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(name, str(kept))
    return kept
