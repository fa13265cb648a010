"""Where the files are that travel with the program: the vocabularies and the sample recording."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def bundled(folder: str) -> Path:
    """The folder `vocab` or `sample_media`: inside an installed package, or beside it in a checkout."""
    installed = _PACKAGE / "bundled" / folder
    return installed if installed.is_dir() else _PACKAGE.parent / folder
