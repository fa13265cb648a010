"""`python -m tests.system_libraries`: see that the system libraries are there that the tests' Qt needs.

On Debian and its like, as root or where sudo asks for no password, the missing ones are installed;
elsewhere they are named and the exit status is 1.
"""

import os
import shutil
import subprocess
import sys

from annotator.desktop.system_libraries import missing_packages, needed_on

# What the browser engine of Qt asks for beside what the window does; only tests use it (PySide6 6.12, Debian 12).
BROWSER_ENGINE = {
    "libXcomposite.so.1": "libxcomposite1",
    "libXdamage.so.1": "libxdamage1",
    "libXext.so.6": "libxext6",
    "libXfixes.so.3": "libxfixes3",
    "libXrandr.so.2": "libxrandr2",
    "libXtst.so.6": "libxtst6",
    "libasound.so.2": "libasound2",
    "libgbm.so.1": "libgbm1",
    "libnspr4.so": "libnspr4",
    "libnss3.so": "libnss3",
    "libxcb-dri3.so.0": "libxcb-dri3-0",
    "libxkbfile.so.1": "libxkbfile1",
}


def main() -> int:
    """Exit status 0 where nothing is missing, now or any more."""
    if not sys.platform.startswith("linux"):
        return 0
    needed = needed_on("offscreen") | BROWSER_ENGINE
    missing = missing_packages(needed)
    if missing and (apt := _apt()):
        print(f"installing what Qt needs of the system: {' '.join(missing)}", flush=True)
        _install(apt, missing)
        missing = missing_packages(needed)
    if missing:
        print(
            f"The tests need system libraries; install them with: apt-get install {' '.join(missing)}", file=sys.stderr
        )
    return 1 if missing else 0


def _apt() -> list[str] | None:
    """The start of a command that may install packages here without asking; None where there is none."""
    if shutil.which("apt-get") is None:
        return None
    if os.geteuid() == 0:
        return ["apt-get"]
    may = shutil.which("sudo") and subprocess.run(["sudo", "-n", "true"], capture_output=True, check=False)
    return ["sudo", "-n", "apt-get"] if may and may.returncode == 0 else None


def _install(apt: list[str], packages: list[str]) -> None:
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
        subprocess.run([*apt, "--quiet", "--quiet", *words], env=quiet, stdout=subprocess.DEVNULL, check=False)


if __name__ == "__main__":
    sys.exit(main())
