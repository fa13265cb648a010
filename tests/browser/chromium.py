"""A page in the system's own Chromium, driven through the DevTools protocol as a person and a debugger would.

The protocol: https://chromedevtools.github.io/devtools-protocol/ . Nothing is asked of any network: the program
starts with a profile of its own, and talks to its driver over the loopback address alone.
"""

import base64
import json
import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from typing import IO, Any

from websockets.sync.client import ClientConnection, connect

from tests.running import PATIENCE

_NAMES = ("chromium", "chromium-browser", "google-chrome")
_QUIET = (
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--mute-audio",
    "--autoplay-policy=no-user-gesture-required",
    "--remote-debugging-port=0",
)


def found() -> str | None:
    """The browser's program; None where there is none."""
    return next((path for name in _NAMES if (path := shutil.which(name))), None)


_BOX = "document.querySelector(%s).getBoundingClientRect()"


class Page:
    """One page: what it asked for, what its console said, and what it answers.

    asked    every address, in order
    console  every message, error and refusal that a developer would see
    """

    def __init__(self, connection: ClientConnection) -> None:
        self.asked: list[str] = []
        self.console: list[str] = []
        self._connection = connection
        self._number = 0
        self._session = ""
        self._target = str(self.call("Target.createTarget", url="about:blank")["targetId"])
        self._session = str(self.call("Target.attachToTarget", targetId=self._target, flatten=True)["sessionId"])
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility"):
            self.call(f"{domain}.enable")
        self.asked.clear()

    def call(self, method: str, **values: object) -> dict[str, Any]:
        """A command of the protocol; what the page tells meanwhile is kept."""
        self._number += 1
        message: dict[str, object] = {"id": self._number, "method": method, "params": values}
        if self._session:
            message["sessionId"] = self._session
        self._connection.send(json.dumps(message))
        while True:
            told = json.loads(self._connection.recv(timeout=PATIENCE))
            if told.get("id") == self._number:
                if "error" in told:
                    raise RuntimeError(f"{method}: {told['error']['message']}")
                result: dict[str, Any] = told["result"]
                return result
            if told.get("sessionId") == self._session:
                self._keep(told)

    def close(self) -> None:
        self.call("Target.closeTarget", targetId=self._target)

    def open(self, page: Path) -> None:
        """Load a page from disk, and wait until it is there."""
        self.call("Page.navigate", url=page.absolute().as_uri())
        self.run("new Promise(done => document.readyState === 'complete' ? done() : addEventListener('load', done))")

    def run(self, expression: str) -> Any:
        """The value of an expression in the page, awaited where it is a promise."""
        answer = self.call("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(str(answer["exceptionDetails"].get("exception", {}).get("description")))
        return answer["result"].get("value")

    def press(self, key: str) -> None:
        """Press and release Tab or Enter, as the hardware does."""
        code, text = {"Tab": (9, ""), "Enter": (13, "\r")}[key]
        values = {"key": key, "code": key, "windowsVirtualKeyCode": code}
        self.call("Input.dispatchKeyEvent", type="keyDown", text=text, **values)
        self.call("Input.dispatchKeyEvent", type="keyUp", **values)

    def click(self, x: float, y: float) -> None:
        """Press and release the left button at a point of the window."""
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def resize(self, width: int, height: int) -> None:
        """Of the window, in pixels."""
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def emulate(self, scheme: str = "light", media: str = "screen") -> None:
        """A system that is light or dark, a screen or paper."""
        self.call(
            "Emulation.setEmulatedMedia", media=media, features=[{"name": "prefers-color-scheme", "value": scheme}]
        )

    def picture(self, of: str = "html") -> bytes:
        """What is seen of an element, found by a CSS selector, as PNG."""
        box = self.run(f"(({{x, y, width, height}}) => ({{x, y, width, height}}))({_BOX % json.dumps(of)})")
        data = self.call("Page.captureScreenshot", captureBeyondViewport=True, clip={**box, "scale": 1})["data"]
        return base64.b64decode(data)

    def paper(self) -> bytes:
        """The page printed, as PDF, on the paper that its style asks for."""
        data = self.call("Page.printToPDF", preferCSSPageSize=True, printBackground=False)["data"]
        return base64.b64decode(data)

    def controls(self) -> list[tuple[str, str]]:
        """Role and name of all that the Tab key reaches, as a screen reader tells them."""
        nodes = self.call("Accessibility.getFullAXTree")["nodes"]
        return [
            (node["role"]["value"], node["name"]["value"])
            for node in nodes
            if any(one["name"] == "focusable" and one["value"]["value"] for one in node.get("properties", ()))
            and node["role"]["value"] != "RootWebArea"
        ]

    def _keep(self, told: dict[str, Any]) -> None:
        values = told.get("params", {})
        match told.get("method"):
            case "Network.requestWillBeSent":
                self.asked.append(values["request"]["url"])
            case "Runtime.consoleAPICalled":
                self.console.append(" ".join(str(one.get("value", one)) for one in values["args"]))
            case "Page.javascriptDialogOpening":
                self.console.append(f"a dialog: {values['message']}")
            case "Runtime.exceptionThrown":
                self.console.append(values["exceptionDetails"]["text"])
            case "Log.entryAdded":
                self.console.append(values["entry"]["text"])


@contextmanager
def chromium(program: str) -> Iterator[ClientConnection]:
    """The browser without a screen, and the connection through which it is driven."""
    with TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = [program, *_QUIET, f"--user-data-dir={profile}", "about:blank"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.insert(1, "--no-sandbox")  # Chromium has no sandbox for the superuser
        with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True) as process:
            try:
                assert process.stderr is not None
                address = _address(process.stderr)
                # What nobody reads would fill the pipe and hold the browser.
                Thread(target=process.stderr.read, daemon=True).start()
                with connect(address, max_size=None, proxy=None, open_timeout=PATIENCE) as connection:
                    yield connection
            finally:
                process.terminate()


def _address(said: IO[str]) -> str:
    for line in said:
        if match := re.search(r"DevTools listening on (ws://\S+)", line):
            return match[1]
    raise RuntimeError("the browser ended before it could be driven")
