"""OpenCV, without what importing it does to the environment.

Its loader puts a folder and an empty part into LD_LIBRARY_PATH (on Windows a folder into PATH): an empty part means
the working folder, so that every program started from here would take libraries that lie beside a stranger's case. The
build of it with windows of its own also tells Qt to look for its plugins and fonts there, which then is not ours.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["cv2"]


@contextmanager
def _environment_kept() -> Iterator[None]:
    before = dict(os.environ)
    try:
        yield
    finally:
        for name in os.environ.keys() | before.keys():
            if name not in before:
                del os.environ[name]
            elif os.environ.get(name) != before[name]:
                os.environ[name] = before[name]


with _environment_kept():
    import cv2
