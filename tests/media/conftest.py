"""Recordings to read, made once a run and only if a test asks for them."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.media.films import FILMS, make


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The path of a film by its name in `FILMS`."""
    folder = tmp_path_factory.mktemp("films")

    def made(name: str) -> Path:
        path = folder / name
        if not path.exists():
            recipe = FILMS[name]
            make(recipe, path, made(recipe.of) if recipe.of else None)
        return path

    return made
