"""`python read_track.py FILE.vtt ...`: what the browser engine of QtWebEngine makes of chapter files, as JSON.

A process of its own: the engine must be loaded before any Qt application is made, and it talks a lot.
Each file becomes a real `<track kind="chapters">` of a video element, given as a data address.
"""

import json
import os
import sys
from base64 import b64encode
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QTWEBENGINE_CHROMIUM_FLAGS", "--disable-gpu")
if hasattr(os, "geteuid") and os.geteuid() == 0:
    os.environ["QTWEBENGINE_DISABLE_SANDBOX"] = "1"  # Chromium has no sandbox for the superuser

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWebEngineCore import QWebEnginePage, QWebEngineProfile

PAGE = """<!DOCTYPE html><meta charset="utf-8"><video></video><script>
const done = (found) => console.log("found " + JSON.stringify(found));
const ms = (seconds) => Math.round(seconds * 1000);
const title = (cue) => cue.getCueAsHTML().textContent;
const cues = (track) => [...track.cues].map((cue) => [cue.id, ms(cue.startTime), ms(cue.endTime), title(cue)]);
const element = document.createElement("track");
element.kind = "chapters";
element.addEventListener("load", () => done({ kind: element.track.kind, cues: cues(element.track) }));
element.addEventListener("error", () => done({ error: "the engine refused the file" }));
element.src = "data:text/vtt;base64,%s";
document.querySelector("video").append(element);
element.track.mode = "hidden";
</script>"""


class Page(QWebEnginePage):
    """A page whose console says what was found."""

    said = Signal(str)

    def javaScriptConsoleMessage(self, _level: object, message: str, _line: int, _source: str) -> None:
        self.said.emit(message)


def main(paths: list[str]) -> None:
    application = QGuiApplication(sys.argv[:1])
    profile = QWebEngineProfile()
    page = Page(profile)
    waiting = list(paths)
    found: list[object] = []

    def next_file() -> None:
        page.setHtml(PAGE % b64encode(Path(waiting.pop(0)).read_bytes()).decode())

    def heard(message: str) -> None:
        word, _, text = message.partition(" ")
        found.append(json.loads(text) if word == "found" else {"error": message})
        if waiting:
            next_file()
        else:
            application.quit()

    page.said.connect(heard)
    next_file()
    application.exec()
    page.deleteLater()
    print(json.dumps(found))  # noqa: T201


if __name__ == "__main__":
    main(sys.argv[1:])
