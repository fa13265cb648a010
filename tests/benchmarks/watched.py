"""A process of its own that opens a recording in the program's window, or in a bare player of Qt, and tells of itself.

`python -m tests.benchmarks.watched {window|bare} {start|work} PATH` prints, a line each: `window` and `first`, when
the window and the recording's first frame were painted, in seconds of the machine's clock; after `work` also
`peak`, the most memory in MB that the process held, having played for a while and jumped about.

Nothing of Qt is loaded here before the program loads it, as the order matters to how soon it is there.
"""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from annotator.desktop.window import Window


def run_window(path: Path, *, works: bool) -> None:
    """The program as `annotator open PATH` runs it, with a watch on its window."""
    from annotator.desktop import app

    made = app._made

    def made_watched() -> "tuple[QApplication, Window]":
        application, window = made()
        from tests.benchmarks.watching import watch_window

        watch_window(window, works=works)
        return application, window

    app._made = made_watched
    app.run([path])


def run_bare(path: Path, *, works: bool) -> None:
    from tests.benchmarks import watching

    watching.run_bare(path, works=works)


if __name__ == "__main__":
    kind, task, name = sys.argv[1:]
    {"window": run_window, "bare": run_bare}[kind](Path(name), works=task == "work")
