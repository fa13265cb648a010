"""Starts the window."""

import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from threading import Thread

from annotator.desktop.system_libraries import check_window_possible
from annotator.desktop.tasks.memory import keep_little


def run(paths: Sequence[Path]) -> int:
    """Open the window on a case or recordings, and stay until it is closed; returns the exit status.

    Raises WindowUnavailable, with what to install, where no window can be opened.
    """
    check_window_possible()
    keep_little()
    from PySide6.QtCore import QSettings
    from PySide6.QtWidgets import QApplication

    from annotator.desktop.logs import keep_faults, keep_terminal_clean

    keep_terminal_clean()
    QApplication.setApplicationName("surgical-step-annotator")
    QApplication.setOrganizationName("surgical-step-annotator")
    QApplication.setDesktopFileName("surgical-step-annotator")
    app = QApplication(sys.argv[:1])

    from annotator.desktop.preferences.cache_room import kept_folder
    from annotator.desktop.preferences.preferences import Preferences
    from annotator.desktop.screen_fit import ScreenFit
    from annotator.desktop.termination import Termination
    from annotator.desktop.theme.theme import Theme
    from annotator.desktop.theme.typeface import load_typefaces
    from annotator.desktop.window import Window
    from annotator.media.cache.cache_files import clear_below

    load_typefaces()
    settings = QSettings()
    theme = Theme(app, Preferences(settings).theme)
    window = Window(app, theme, settings)
    keep_faults(partial(window.status.say, warns=True))
    ScreenFit(window)
    window.show()
    window.open_paths(paths)

    def end(status: int) -> None:
        window.end()
        app.exit(status)

    Termination(end, window)
    # Beside the window, as the folder may be a slow one on a network.
    Thread(target=clear_below, args=[kept_folder(window.preferences)], daemon=True).start()
    return app.exec()
