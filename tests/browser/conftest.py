"""Dossiers opened from disk in Chromium, offline; whatever goes wrong on a page fails its test."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, sync_playwright

from tests.browser import dossiers
from tests.browser.browsers import Browsers, Seen
from tests.browser.shown import Shown

_MEASURED = "measured in the browser"
Opener = Callable[..., Shown]


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """The pages by name, shared by all processes of this run."""
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "dossiers"
    folder.mkdir(exist_ok=True)
    return dossiers.shared(folder)


@pytest.fixture(scope="session")
def browsers() -> Iterator[Browsers]:
    with sync_playwright() as playwright:
        found = Browsers(playwright)
        yield found
        found.close()


@pytest.fixture
def opened(pages: Mapping[str, Path], browsers: Browsers) -> Iterator[Opener]:
    """Open a page in a context of its own; it must not err, nor ask for anything."""
    contexts: list[BrowserContext] = []
    watched: list[Seen] = []

    def open_page(
        name: str | Path,
        *,
        width: int = 800,
        height: int = 700,
        webgl: bool = True,
        dark: bool = False,
        touch: bool = False,
        scripts: bool = True,
        policy: bool = True,
        state: str = "ready",
    ) -> Shown:
        context = browsers.context(
            width=width, height=height, webgl=webgl, dark=dark, touch=touch, scripts=scripts,
            policy=policy,
        )  # fmt: skip
        contexts.append(context)
        page = context.new_page()
        seen = Seen()
        watched.append(seen)
        seen.watch(page)
        page.goto((name if isinstance(name, Path) else pages[name]).as_uri())
        page.wait_for_selector(f"#space[data-state={state}]", state="attached", timeout=30_000)
        return Shown(page, seen)

    yield open_page
    for context in contexts:
        context.close()
    for seen in watched:
        assert seen.faults == []
        assert seen.strays == {}


@pytest.fixture
def measured(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Note a figure, to be listed at the end of the run."""
    found: dict[str, str] = {}
    request.node.user_properties.append((_MEASURED, found))
    return found.__setitem__


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    lines = [
        f"{what}: {value}"
        for outcome in ("passed", "failed")
        for report in terminalreporter.stats.get(outcome, [])
        for key, found in report.user_properties
        if key == _MEASURED
        for what, value in found.items()
    ]
    if lines:
        terminalreporter.section(_MEASURED)
        for line in lines:
            terminalreporter.write_line(line)
