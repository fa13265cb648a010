"""Where the files are that travel with the program: the vocabularies, the sample recording and the documents."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def bundled(folder: str) -> Path:
    """The folder `vocab`, `sample_media` or `docs`: inside an installed package, or beside it in a checkout."""
    installed = _PACKAGE / "bundled" / folder
    return installed if installed.is_dir() else _PACKAGE.parent / folder
