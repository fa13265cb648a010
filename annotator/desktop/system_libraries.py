"""Checks before Qt starts that its libraries are there. Qt itself would end the program without a message.

Only the standard library is used here, and Qt is not imported.
"""

import ctypes
import importlib.util
import os
import shlex
import subprocess
import sys
from pathlib import Path

from annotator.errors import AnnotatorError

SOURCE = Path(__file__).resolve().parent.parent.parent
"""The folder that holds the package: of a checkout its top, else where Python keeps what is installed."""

# Shared objects that PySide6 6.11 asks the system for, and the Debian 12 package that brings each.
ALWAYS = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libpulse.so.0": "libpulse0",
    "libX11.so.6": "libx11-6",
    "libXrandr.so.2": "libxrandr2",
}
X11 = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
}


class WindowUnavailable(AnnotatorError, OSError):
    """No window can be opened on this machine as it is; says what to install or do."""


def check_window_possible() -> None:
    """Raises WindowUnavailable where PySide6, a display or a system library is missing."""
    if importlib.util.find_spec("PySide6") is None:
        raise WindowUnavailable(f"The window needs PySide6, which is not installed. To install it, run: {install_qt()}")
    if not sys.platform.startswith("linux"):
        return
    platform = _platform()
    missing = missing_packages(needed_on(platform))
    if missing:
        raise WindowUnavailable(
            "The window needs system libraries that are missing; on Debian or Ubuntu install them with: "
            f"sudo apt-get install {' '.join(missing)}"
        )


def install_qt() -> str:
    """The command that adds the window to this very installation, quoted for the system's shell.

    Where the program is installed, pip takes the name for what is there already and adds only what the window needs.
    """
    is_checkout = (SOURCE / "pyproject.toml").is_file()
    wanted = ["-e", f"{SOURCE}[desktop]"] if is_checkout else ["surgical-step-annotator[desktop]"]
    command = [sys.executable, "-m", "pip", "install", *wanted]
    return subprocess.list2cmdline(command) if sys.platform == "win32" else shlex.join(command)


def needed_on(platform: str) -> dict[str, str]:
    """Shared objects and their packages for one of Qt's platforms: xcb, wayland, or one without a screen."""
    return ALWAYS | {"xcb": X11, "wayland": WAYLAND}.get(platform, {})


def missing_packages(needed: dict[str, str]) -> list[str]:
    """The Debian packages of those shared objects that the system's loader does not find."""
    return sorted({package for name, package in needed.items() if not _loads(name)})


def _platform() -> str:
    chosen = os.environ.get("QT_QPA_PLATFORM", "").partition(":")[0].partition(";")[0]
    if chosen:
        return chosen
    if os.environ.get("WAYLAND_DISPLAY"):
        return "wayland"
    if os.environ.get("DISPLAY"):
        return "xcb"
    raise WindowUnavailable(
        "There is no display to open a window on (DISPLAY and WAYLAND_DISPLAY are not set); "
        "log in to a desktop, or use the commands, which need none: annotator --help"
    )


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True
