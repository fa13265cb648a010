"""What the verbs keep stays inside the test, and small films to use them on."""

from pathlib import Path

import pytest

from tests.media.films import ffmpeg


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of what is kept."""
    home = tmp_path_factory.mktemp("home")
    for name in ("XDG_CACHE_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(name, str(home / name.lower()))
    return home


def with_chapters(source: Path, path: Path, *chapters: tuple[int, int, str]) -> Path:
    """The same recording with chapters inside: start and end in ms, and a title."""
    listed = path.with_name(f"{path.name}.txt")
    lines = [f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={start}\nEND={end}\ntitle={title}" for start, end, title in chapters]
    listed.write_text("\n".join([";FFMETADATA1", *lines]) + "\n", encoding="utf-8")
    ffmpeg("-i", str(source), "-i", str(listed), "-map_metadata", "1", "-map_chapters", "1", "-c", "copy", str(path))
    listed.unlink()
    return path
