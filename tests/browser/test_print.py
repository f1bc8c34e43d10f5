"""The page on paper: pictures for the ball in space, every section, and words for who hears it."""

from __future__ import annotations

import io
from typing import Any

import pypdf
import pytest

from tests.browser.conftest import Opener
from tests.browser.shown import Shown


@pytest.fixture(params=["dunlin", "turnstone-drilled"])
def printed(request: pytest.FixtureRequest, opened: Opener) -> Shown:
    shown = opened(request.param)
    shown.page.emulate_media(media="print")
    return shown


def squeezed(text: str) -> str:
    return "".join(text.split())


def titles(shown: Shown) -> list[str]:
    found = shown.page.locator("h1, h2").all_text_contents()
    assert len(found) > 10
    return found


def test_in_print_there_are_pictures_and_no_controls(printed: Shown) -> None:
    assert not printed.canvas.is_visible()
    assert not printed.page.locator(".sp-plate").is_visible()
    assert not printed.page.locator("nav").is_visible()
    stills = printed.page.locator("#space .stills img")
    assert stills.count() >= 2
    assert all(still.is_visible() for still in stills.all())


def test_paper_is_white_and_ink_black_even_where_the_screen_is_dark(printed: Shown) -> None:
    printed.page.emulate_media(media="print", color_scheme="dark")
    found = printed.page.evaluate(
        "((style) => [style.backgroundColor, style.color])(getComputedStyle(document.body))"
    )
    assert found == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]


def test_the_printed_page_has_every_section_in_order(printed: Shown) -> None:
    pdf = printed.page.pdf(format="A4", print_background=False)
    text = squeezed("".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages))
    at = 0
    for title in titles(printed):
        at = text.find(squeezed(title), at)
        assert at >= 0, title
    figures = printed.data["figures"]
    for value in (figures["rg_in"]["low"], figures["total_differential_in"]):
        assert str(value) in text


def test_nothing_is_cut_off_at_the_side_of_the_paper(printed: Shown) -> None:
    """What is wider than the paper Chromium prints smaller; nothing of ours asks for that."""
    printed.page.set_viewport_size({"width": 718, "height": 1000})  # A4 within 1 cm, at 96 a inch
    wide = printed.page.evaluate("""() => [...document.querySelectorAll('table, svg, img, p')]
      .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > 718.5)
      .map((one) => one.outerHTML.slice(0, 100))""")
    assert wide == []


def test_every_picture_is_told_in_words(printed: Shown) -> None:
    """Its alt text is the name of an image in the tree that readers of screens are given."""
    session = printed.page.context.new_cdp_session(printed.page)
    nodes: list[dict[str, Any]] = session.send("Accessibility.getFullAXTree")["nodes"]
    names = {
        one.get("name", {}).get("value", "").strip()
        for one in nodes
        if not one["ignored"] and one["role"]["value"] in ("image", "img")
    }
    due = {one["alt"].strip() for one in printed.data["pictures"]}
    assert len(due) >= 2
    assert due <= names


def test_every_chart_is_told_in_words(printed: Shown) -> None:
    session = printed.page.context.new_cdp_session(printed.page)
    nodes: list[dict[str, Any]] = session.send("Accessibility.getFullAXTree")["nodes"]
    told = [
        one["name"]["value"]
        for one in nodes
        if not one["ignored"]
        and one["role"]["value"] in ("image", "img", "graphics-document", "SvgRoot")
        and one.get("name", {}).get("value")
    ]
    charts = printed.page.locator("figure.chart").count()
    assert charts > 3
    assert len(told) == charts + len(printed.data["pictures"])
    assert all(len(one) > 40 for one in told)
