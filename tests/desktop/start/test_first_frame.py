"""What a recording's first frame does not need is loaded later: each library would hold the frame up."""

import subprocess
import sys
from pathlib import Path

from tests.desktop.films import film
from tests.running import PATIENCE

NOT_YET = {"email", "ffmpeg", "imageio_ffmpeg", "jinja2", "rdflib", "webvtt", "xlsxwriter"}

OPENED = """
import sys
from pathlib import Path
from annotator.desktop import app
from annotator.desktop.window import Window

opens = Window.open_paths

def open_told(window, paths):
    def tell(picture, at):
        window.player.shown.disconnect(joined)
        print(*sys.modules, flush=True)
        window.close()
    joined = window.player.shown.connect(tell)
    opens(window, paths)

Window.open_paths = open_told
sys.exit(app.run([Path(sys.argv[1])]))
"""


def test_the_first_frame_waits_for_no_library_that_it_does_not_need(tmp_path: Path) -> None:
    recording = film(tmp_path / "short.mp4", 25, "25")
    command = [sys.executable, "-c", OPENED, str(recording)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=PATIENCE)
    loaded = done.stdout.split()
    assert "PySide6.QtMultimedia" in loaded
    assert not NOT_YET & set(loaded)
