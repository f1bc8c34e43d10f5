"""Dossiers opened from disk in Chromium, offline; whatever goes wrong on a page fails its test."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import sync_playwright

from tests.browser import dossiers
from tests.browser.browsers import Browsers
from tests.browser.pool import Pool, Way
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
def pool(pages: Mapping[str, Path]) -> Iterator[Pool]:
    with sync_playwright() as playwright:
        browsers = Browsers(playwright)
        yield Pool(pages, browsers)
        browsers.close()


@pytest.fixture
def opened(pages: Mapping[str, Path], pool: Pool) -> Iterator[Opener]:
    """Open a page; it must not err, nor ask for anything.

    A test that leaves more behind than the button Reset takes back asks for a fresh one.
    """
    used: list[Shown] = []
    own: list[Shown] = []

    def open_page(name: str | Path, *, fresh: bool = False, **how: Any) -> Shown:
        way = Way(**how)
        if fresh or isinstance(name, Path):
            shown = pool.fresh(name if isinstance(name, Path) else pages[name], way)
            own.append(shown)
        else:
            shown = pool.known(name, way)
        used.append(shown)
        return shown

    yield open_page
    for shown in own:
        shown.page.context.close()
    bad = [shown for shown in used if shown.seen.faults or shown.seen.strays]
    for shown in bad:
        pool.forget(shown)
    assert [(shown.seen.faults, shown.seen.strays) for shown in bad] == []


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
