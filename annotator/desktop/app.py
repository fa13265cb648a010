"""Starts the window."""

import gc
import linecache
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from annotator.desktop.system_libraries import check_window_possible
from annotator.desktop.tasks.memory import keep_little
from annotator.uncollected import uncollected

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from annotator.desktop.window import Window


def run(paths: Sequence[Path]) -> int:
    """Open the window on a case or recordings, and stay until it is closed; returns the exit status.

    Raises WindowUnavailable, with what to install, where no window can be opened.
    """
    check_window_possible()
    keep_little()
    with uncollected():
        _import_what_knows_nothing_of_qt()
        app, window = _made()
    gc.freeze()  # what the program is made of is no garbage, and need not be looked through again and again
    linecache.clearcache()  # of the source that PySide6 has read
    window.show()
    window.open_paths(paths)

    from annotator.desktop.preferences.cache_room import kept_folder
    from annotator.desktop.termination import Termination
    from annotator.media.cache.cache_files import clear_below

    def end(status: int) -> None:
        window.end()
        app.exit(status)

    Termination(end, window)
    # Beside the window, as the folder may be a slow one on a network.
    Thread(target=clear_below, args=[kept_folder(window.preferences)], daemon=True).start()
    return app.exec()


def _import_what_knows_nothing_of_qt() -> None:
    """PySide6 reads the source of every module that is imported after it, and keeps the lines: of NumPy and PyAV, which
    these bring, that is most. What follows brings the rooms under the desktop.
    """
    import annotator.measure.findings
    import annotator.measure.poster_time
    import annotator.media.cache.review_cache
    import annotator.media.cache.strip_cache
    import annotator.media.pictures.whole_strip
    import annotator.publish.kinds
    import annotator.publish.report.summary_csv
    import annotator.workflow.add_tags
    import annotator.workflow.carry_case
    import annotator.workflow.log
    import annotator.workflow.sample  # noqa: F401


def _made() -> "tuple[QApplication, Window]":
    """The window, not shown yet."""
    from PySide6.QtCore import QSettings
    from PySide6.QtWidgets import QApplication

    from annotator.desktop.logs import keep_faults, keep_terminal_clean

    keep_terminal_clean()
    QApplication.setApplicationName("surgical-step-annotator")
    QApplication.setOrganizationName("surgical-step-annotator")
    QApplication.setDesktopFileName("surgical-step-annotator")
    app = QApplication(sys.argv[:1])

    from annotator.desktop.preferences.preferences import Preferences
    from annotator.desktop.screen_fit import ScreenFit
    from annotator.desktop.theme.theme import Theme
    from annotator.desktop.theme.typeface import load_typefaces
    from annotator.desktop.window import Window

    load_typefaces()
    settings = QSettings()
    window = Window(app, Theme(app, Preferences(settings).theme), settings)
    keep_faults(partial(window.status.say, warns=True))
    ScreenFit(window)
    return app, window
