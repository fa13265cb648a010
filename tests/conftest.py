"""For all tests: Qt draws without a screen, no test depends on how fast the machine is, and films are made once."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from tests.media.films import FILMS, make

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The path of a film by its name in `FILMS`; made once a run, and only if a test asks for it."""
    folder = tmp_path_factory.mktemp("films")

    def made(name: str) -> Path:
        path = folder / name
        if not path.exists():
            recipe = FILMS[name]
            make(recipe, path, made(recipe.of) if recipe.of else None)
        return path

    return made
