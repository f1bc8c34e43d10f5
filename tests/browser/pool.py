"""Pages kept open from test to test, since opening one takes a second or two; each as at first."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import BrowserContext

from tests.browser.browsers import Browsers, Seen
from tests.browser.shown import Shown

_MOST = 6  # open at once: a browser takes the drawing context from the oldest of sixteen


@dataclass(frozen=True)
class Way:
    """How a page is opened.

    Attributes:
        width, height: of the window, pixels.
        webgl: whether the browser has it.
        dark: whether the reader likes it dark.
        touch: whether there are fingers.
        scripts: whether they run.
        policy: whether the page's own policy holds; without it, a test may add scripts and styles.
        state: what #space comes to.
    """

    width: int = 800
    height: int = 700
    webgl: bool = True
    dark: bool = False
    touch: bool = False
    scripts: bool = True
    policy: bool = True
    state: str = "ready"


class Pool:
    """Pages that are open, the latest used last."""

    def __init__(self, pages: Mapping[str, Path], browsers: Browsers) -> None:
        self._pages = pages
        self._browsers = browsers
        self._kept: OrderedDict[tuple[str, Way], Shown] = OrderedDict()

    def known(self, name: str, way: Way) -> Shown:
        """A page as it is when it has just been opened, though it may have been open before."""
        if (name, way) in self._kept:
            shown = self._kept[name, way]
            shown.restore(way.width, way.height, dark=way.dark)
        else:
            shown = self._kept[name, way] = self.fresh(self._pages[name], way)
            if len(self._kept) > _MOST:
                _, oldest = self._kept.popitem(last=False)
                oldest.page.context.close()
        self._kept.move_to_end((name, way))
        return shown

    def fresh(self, file: Path, way: Way) -> Shown:
        """A page that is opened now, and for one test alone."""
        context: BrowserContext = self._browsers.context(
            width=way.width,
            height=way.height,
            webgl=way.webgl,
            dark=way.dark,
            touch=way.touch,
            scripts=way.scripts,
            policy=way.policy,
        )
        page = context.new_page()
        seen = Seen()
        seen.watch(page)
        page.goto(file.as_uri())
        page.wait_for_selector(f"#space[data-state={way.state}]", state="attached", timeout=30_000)
        return Shown(page, seen)

    def forget(self, shown: Shown) -> None:
        """Open it anew when it is next wanted."""
        for key, one in list(self._kept.items()):
            if one is shown:
                del self._kept[key]
                one.page.context.close()
