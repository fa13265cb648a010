"""The folders that the program keeps for itself, outside every case."""

from pathlib import Path

from platformdirs import user_cache_path, user_log_path

_NAME = "surgical-step-annotator"


def cache_folder() -> Path:
    """For what can be made again at any time: frame indexes, thumbnails. May be deleted."""
    return user_cache_path(_NAME, appauthor=False)


def log_file() -> Path:
    """Where the details of a fault in the program itself are kept."""
    return user_log_path(_NAME, appauthor=False) / "annotator.log"
