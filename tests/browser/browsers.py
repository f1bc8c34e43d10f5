"""Chromium as the tests start it: software drawing, offline, with a watch on what pages do."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Playwright, Request

_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
_DRAWING = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
_NO_DRAWING = ["--disable-3d-apis"]
_OWN = ("file:", "data:", "blob:")  # addresses that are no network


def chromium() -> str:
    """The system's Chromium; no other is fetched."""
    found = shutil.which("chromium")
    if found is None:
        raise FileNotFoundError("no chromium on the path; on Debian: apt-get install chromium")
    return found


@dataclass
class Seen:
    """What a page did.

    Attributes:
        faults: errors of scripts and of the console.
        requests: the addresses of all requests, those that never left the page as well.
        strays: those of them that go elsewhere than to the file, each with why it failed.
    """

    faults: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)
    strays: dict[str, str] = field(default_factory=dict)

    def watch(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        page.on("console", self._hear)
        page.on("request", self._see)
        page.on("requestfailed", self._see_failed)

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.faults.append(f"console: {message.text}")

    def _see(self, request: Request) -> None:
        self.requests.append(request.url)
        if not request.url.startswith(_OWN):
            self.strays[request.url] = ""

    def _see_failed(self, request: Request) -> None:
        if request.url in self.strays:
            self.strays[request.url] = request.failure or ""


class Browsers:
    """Chromium with and without WebGL, each started when it is first wanted."""

    def __init__(self, playwright: Playwright) -> None:
        self._playwright = playwright
        self._started: dict[bool, Browser] = {}

    def context(
        self,
        *,
        width: int,
        height: int,
        webgl: bool,
        dark: bool,
        touch: bool,
        scripts: bool,
        policy: bool,
    ) -> BrowserContext:
        """A fresh context without network."""
        return self._browser(webgl).new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if dark else "light",
            has_touch=touch,
            java_script_enabled=scripts,
            bypass_csp=not policy,
            offline=True,
        )

    def _browser(self, webgl: bool) -> Browser:
        if webgl not in self._started:
            flags = [*_FLAGS, *(_DRAWING if webgl else _NO_DRAWING)]
            self._started[webgl] = self._playwright.chromium.launch(
                executable_path=chromium(), args=flags
            )
        return self._started[webgl]

    def close(self) -> None:
        for browser in self._started.values():
            browser.close()
