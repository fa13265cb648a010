"""`python view_share.py PAGE [PICTURE]`: open a shared page from disk in QtWebEngine and click each chapter, as JSON.

A process of its own: the engine must be loaded before any Qt application is made, and it talks a lot.
"""

import json
import os
import sys
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QTWEBENGINE_CHROMIUM_FLAGS", "--disable-gpu")
if hasattr(os, "geteuid") and os.geteuid() == 0:
    os.environ["QTWEBENGINE_DISABLE_SANDBOX"] = "1"  # Chromium has no sandbox for the superuser

from PySide6.QtCore import QTimer, QUrl, Signal
from PySide6.QtWebEngineCore import (
    QWebEnginePage,
    QWebEngineProfile,
    QWebEngineUrlRequestInfo,
    QWebEngineUrlRequestInterceptor,
)
from PySide6.QtWebEngineWidgets import QWebEngineView
from PySide6.QtWidgets import QApplication

CLICK_ALL = """(async () => {
  const video = document.getElementById("recording");
  const wait = (name) => new Promise((done) => video.addEventListener(name, done, { once: true }));
  if (video.readyState < 2) await wait("loadeddata");
  const found = [];
  for (const button of document.querySelectorAll("#chapters button")) {
    const landed = wait("seeked");
    button.click();
    await landed;
    const current = [...document.querySelectorAll("#chapters [aria-current]")].map((one) => one.textContent);
    found.push({ title: button.querySelector("bdi").textContent, at: video.currentTime * 1000, current });
  }
  document.title = "found " + JSON.stringify({ found, now: document.getElementById("now").textContent });
})()"""


class Asked(QWebEngineUrlRequestInterceptor):
    """Remembers every address that the page asks for."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []

    def interceptRequest(self, info: QWebEngineUrlRequestInfo) -> None:
        self.addresses.append(info.requestUrl().toString())


class Page(QWebEnginePage):
    said = Signal(str)

    def javaScriptConsoleMessage(self, _level: object, message: str, _line: int, _source: str) -> None:
        self.said.emit(message)


def main(path: Path, picture: Path | None) -> None:
    application = QApplication(sys.argv[:1])
    profile, asked = QWebEngineProfile(), Asked()
    profile.setUrlRequestInterceptor(asked)
    page, view = Page(profile), QWebEngineView()
    console: list[str] = []
    told: dict[str, object] = {}
    page.said.connect(console.append)
    view.setPage(page)
    view.resize(1280, 900)
    view.show()

    def heard(title: str) -> None:
        word, _, text = title.partition(" ")
        if word == "found":
            told.update(json.loads(text))
            QTimer.singleShot(200 if picture else 0, done)

    def done() -> None:
        if picture:
            view.grab().save(str(picture))
        application.quit()

    page.titleChanged.connect(heard)
    page.loadFinished.connect(lambda _ok: page.runJavaScript(CLICK_ALL))
    page.load(QUrl.fromLocalFile(str(path)))
    application.exec()
    view.setPage(QWebEnginePage(view))
    page.deleteLater()
    print(json.dumps({**told, "console": console, "asked": asked.addresses}))  # noqa: T201


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]) if len(sys.argv) > 2 else None)
