"""Where the ball cannot be turned its pictures stand in its place, and a sentence says why."""

from __future__ import annotations

import base64
import json
import re
import zlib
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.browser.conftest import Opener
from tests.browser.designs import NAMES
from tests.browser.shown import Shown

_LOSE = """() => {
  const context = document.querySelector('#space canvas').getContext('webgl2');
  window.lost = context.getExtension('WEBGL_lose_context');
  window.lost.loseContext();
}"""


def check_stills(shown: Shown) -> None:
    """Every picture is seen, decoded, as wide and high as the data say, with its words."""
    due = [one for one in shown.data["pictures"] if one["place"] == "space"]
    stills = shown.page.locator("#space .stills img")
    assert stills.count() == len(due) >= 2
    for still, row in zip(stills.all(), due, strict=True):
        still.scroll_into_view_if_needed()
        assert still.is_visible()
        assert (still.get_attribute("width"), still.get_attribute("height")) == (
            str(row["width_px"]),
            str(row["height_px"]),
        )
        box = still.bounding_box()
        assert box is not None
        assert box["width"] > 200
        assert box["width"] / box["height"] == pytest.approx(
            row["width_px"] / row["height_px"], rel=0.02
        )


def sentence(shown: Shown) -> str:
    status = shown.page.get_by_role("status")
    assert status.count() == 1
    assert status.is_visible()
    return status.inner_text()


@pytest.mark.parametrize("name", NAMES[:4])
def test_without_webgl_the_pictures_stand_there_and_a_sentence_says_so(
    opened: Opener, name: str
) -> None:
    shown = opened(name, webgl=False, state="no-webgl")
    assert "this browser offers no WebGL; the pictures below show it." in sentence(shown)
    check_stills(shown)
    assert shown.page.locator("#space canvas, #space button, #space input").count() == 0
    assert shown.page.evaluate("""() =>
      [...document.querySelectorAll('#space img')].every((one) => one.naturalWidth > 0)""")


@pytest.mark.parametrize("name", ["dunlin", "hostile"])
def test_without_scripts_the_pictures_stand_there_and_a_sentence_says_so(
    opened: Opener, name: str
) -> None:
    shown = opened(name, scripts=False, state="stills")
    said = shown.page.locator("#space noscript p")
    assert said.is_visible()
    assert said.inner_text().startswith("Scripts are off: the ball cannot be turned here")
    check_stills(shown)
    assert not shown.page.get_by_role("status").count()


def test_with_scripts_nothing_is_said_of_scripts(opened: Opener) -> None:
    shown = opened("dunlin")
    assert not shown.page.locator("#space noscript").is_visible()
    assert not shown.page.locator("#space .stills img").first.is_visible()


def test_when_webgl_is_lost_the_pictures_take_over(opened: Opener) -> None:
    shown = opened("dunlin", fresh=True)
    shown.page.evaluate(_LOSE)
    shown.page.wait_for_selector("#space[data-state=no-webgl]", timeout=15_000)
    assert "has lost its WebGL" in sentence(shown)
    check_stills(shown)
    assert shown.page.locator("#space canvas").count() == 0


def test_when_webgl_comes_back_the_ball_goes_on(opened: Opener) -> None:
    shown = opened("dunlin", fresh=True)
    before = shown.picture()
    shown.page.evaluate(_LOSE)
    shown.page.wait_for_timeout(500)
    shown.page.evaluate("window.lost.restoreContext()")
    shown.page.wait_for_timeout(3000)  # longer than it waits for one
    assert shown.page.locator("#space").get_attribute("data-state") == "ready"
    assert (shown.picture() == before).mean() > 0.999
    shown.press("Back")
    assert (shown.picture() != before).any()


def _spoiled(page: Path, folder: Path, how: str) -> Path:
    """A copy of a page whose space cannot be read."""
    text = page.read_text(encoding="utf-8")
    found = re.search(r'(<script type="application/json" id="scene">)(.*?)(</script>)', text, re.S)
    assert found is not None
    scene = json.loads(found[2])
    if how == "cut short":
        scene["parts"][0]["data"] = scene["parts"][0]["data"][: 4 * 100]
    elif how == "of another length":
        scene["parts"][0]["triangles"] += 1
    elif how == "without a corner":
        scene["parts"][0]["corners"] = 3
        short = zlib.compress(b"\0" * 28 + b"\xff" * 6 * scene["parts"][0]["triangles"])
        scene["parts"][0]["data"] = base64.b64encode(short).decode()
    file = folder / "spoiled.html"
    whole = "{" if how == "no JSON" else json.dumps(scene).replace("<", "\\u003c")
    file.write_text(text[: found.start(2)] + whole + text[found.end(2) :], encoding="utf-8")
    return file


@pytest.mark.parametrize("how", ["no JSON", "cut short", "of another length", "without a corner"])
def test_a_space_that_cannot_be_read_leaves_the_pictures_and_says_so(
    opened: Opener, pages: Mapping[str, Path], tmp_path: Path, how: str
) -> None:
    shown = opened(_spoiled(pages["dunlin"], tmp_path, how), state="failed")
    assert "cannot be read" in sentence(shown)
    check_stills(shown)
    assert shown.page.locator("#space").get_attribute("data-reason")
