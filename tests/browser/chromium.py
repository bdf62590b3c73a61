"""Debian's Chromium without a network of its own, and a watch over what a page asks for."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, sync_playwright

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
    "--metrics-recording-only",
]
AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}


def found() -> str | None:
    """Where Chromium is; None when it is not installed."""
    return shutil.which("chromium")


@contextmanager
def chromium() -> Iterator[Browser]:
    """A running browser."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found(), args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@dataclass
class Watch:
    """What a page asked for and complained about."""

    address: str
    foreign: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    bytes: int = 0

    def over(self, page: Page) -> "Watch":
        """Begin to watch a page."""
        page.on("request", self._request)
        page.on("response", self._response)
        page.on("console", lambda said: self._console(said.type, said.text))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        return self

    def _request(self, request) -> None:
        if urlsplit(request.url).netloc != urlsplit(self.address).netloc:
            self.foreign.append(request.url)

    def _response(self, response) -> None:
        if response.status >= 400:
            self.errors.append(f"{response.status} {response.url}")

    def _console(self, kind: str, text: str) -> None:
        if kind == "error":
            self.errors.append(text)
