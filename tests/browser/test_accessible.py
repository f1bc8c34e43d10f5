"""No rule of accessibility that a machine can hold is broken: axe-core's, best practice and all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

import pytest

import pipeline.dossier
from tests.browser.conftest import Opener
from tests.browser.shown import Shown

WIDTHS = (1280, 800, 390)
_AXE = (
    Path(pipeline.dossier.__file__).parent / "viewer" / "node_modules" / "axe-core" / "axe.min.js"
)
_RUN = """async (only) => {
  const { violations, passes } = await axe.run(document,
    { resultTypes: ['violations'], ...(only ? { runOnly: only } : {}) });
  return [passes.length, violations.map(({ id, nodes }) =>
    `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).slice(0, 3).join(' | ')}`)];
}"""


def broken(shown: Shown) -> set[str]:
    """The rules that are broken, with the elements that break them; in the dark, of contrast."""
    found = set()
    schemes: tuple[tuple[Literal["dark", "light"], list[str] | None], ...] = (
        ("dark", ["color-contrast"]),
        ("light", None),
    )
    for width in WIDTHS:
        shown.page.set_viewport_size({"width": width, "height": 800})
        for scheme, only in schemes:
            shown.page.emulate_media(color_scheme=scheme)
            shown.page.wait_for_timeout(50)
            kept, violations = shown.page.evaluate(_RUN, only)
            assert kept > (25 if only is None else 0)  # it did look
            found |= {f"{scheme}, {width} px: {one}" for one in violations}
    return found


@pytest.fixture
def examined(opened: Opener) -> Callable[..., Shown]:
    """Open a page that axe-core can look at, which the page's own policy would not let in."""

    def examine(name: str, **how: object) -> Shown:
        shown = opened(name, policy=False, fresh=True, **how)
        assert _AXE.exists(), "npm ci in pipeline/dossier/viewer brings axe-core"
        shown.page.add_script_tag(content=_AXE.read_text(encoding="utf-8"))
        return shown

    return examine


@pytest.mark.parametrize("name", ["dunlin", "turnstone-drilled", "hostile"])
def test_a_page_with_its_ball_breaks_no_rule(examined: Callable[..., Shown], name: str) -> None:
    assert broken(examined(name)) == set()


def test_a_page_without_webgl_breaks_no_rule(examined: Callable[..., Shown]) -> None:
    """Of one page: but for the ball, its parts are those of the pages above."""
    assert broken(examined("hostile", webgl=False, state="no-webgl")) == set()


def test_no_rule_is_broken_once_everything_is_in_use(examined: Callable[..., Shown]) -> None:
    """A free section, a reading, the ellipsoid, a part hidden and one faded; then all apart."""
    shown = examined("turnstone-drilled")
    shown.cut("free", 0.3)
    shown.box("Inertia ellipsoid").check()
    shown.box("cover").uncheck()
    shown.slide("Opacity of outer core, per cent", 40)
    shown.box("Read a point").check()
    shown.page.evaluate("([x, y]) => corewrightSpace.pick(x, y)", list(shown.camera.size_px / 2.0))
    assert "RG" in shown.reading
    assert broken(shown) == set()


def test_no_rule_is_broken_while_the_parts_are_apart(examined: Callable[..., Shown]) -> None:
    shown = examined("twelve")
    shown.slide("Take apart", 100)
    shown.box("Measure").check()
    assert broken(shown) == set()
