"""The folder that stills and clips are written into."""

from pathlib import Path

from annotator.durable import why
from annotator.errors import StoreError


def make_folder(folder: Path) -> None:
    """Make the folder where there is none; StoreError says why it can't be."""
    try:
        folder.mkdir(exist_ok=True)
    except FileExistsError as error:
        raise StoreError(f"{folder} is a file; name a folder to write into") from error
    except OSError as error:
        raise StoreError(f"The folder {folder} can't be made: {why(error)}") from error
