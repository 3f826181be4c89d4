"""A headless Chromium spoken to over a pipe: enough to measure a page and to look at it."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import subprocess
import time
from pathlib import Path

_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-pipe",
]
_HIGH = 10
"""First number for our ends of the pipes: the browser takes 3 and 4."""


class Browser:
    """One browser with one page."""

    def __init__(self, profile: Path) -> None:
        to_browser, self._write = _pipe()
        self._read, from_browser = _pipe()
        self._process = subprocess.Popen(
            [
                "bash",  # plain sh takes one digit only
                "-c",
                f'exec "$@" 3<&{to_browser} 4>&{from_browser}',
                "bash",
                "chromium",
                *_FLAGS,
                f"--user-data-dir={profile}",
                "about:blank",
            ],
            pass_fds=(to_browser, from_browser),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_browser)
        os.close(from_browser)
        self._buffer = b""
        self._last = 0
        self._session: str | None = None
        self.events: list[dict] = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def close(self) -> None:
        self._session = None
        self.call("Browser.close")
        self._process.wait(timeout=20)
        os.close(self._read)
        os.close(self._write)

    def call(self, method: str, **params: object) -> dict:
        self._last += 1
        message: dict = {"id": self._last, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._message()
            if answer.get("id") == self._last:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def _message(self) -> dict:
        while b"\0" not in self._buffer:
            chunk = os.read(self._read, 1 << 16)
            if not chunk:
                raise RuntimeError("the browser ended")
            self._buffer += chunk
        message, self._buffer = self._buffer.split(b"\0", 1)
        return json.loads(message)

    def visit(self, page: Path | str, *, width: int, height: int = 740, dark: bool = False) -> None:
        """Open a file or an address as a phone or a screen of that width would."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=width < 800,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])
        self.events.clear()
        self.call("Page.navigate", url=page if isinstance(page, str) else page.as_uri())
        end = time.monotonic() + 20
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            if time.monotonic() > end:
                raise RuntimeError("the page did not load")
            self.evaluate("0")

    def evaluate(self, expression: str) -> object:
        """The value of an expression in the page, as JSON knows it."""
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"]["text"])
        return answer["result"].get("value")

    def picture(self) -> bytes:
        """The whole page as PNG."""
        answer = self.call("Page.captureScreenshot", captureBeyondViewport=True)
        return base64.b64decode(answer["data"])


def _pipe() -> tuple[int, int]:
    """Both ends of a pipe, with numbers out of the way of 3 and 4."""
    ends = os.pipe()
    high = tuple(fcntl.fcntl(end, fcntl.F_DUPFD, _HIGH) for end in ends)
    for end in ends:
        os.close(end)
    return high[0], high[1]
