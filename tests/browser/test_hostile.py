"""A design whose names act as markup, quote and turn the writing round: words, nothing else."""

from __future__ import annotations

import pytest

from pipeline.markdown import visible
from tests.browser.conftest import Opener
from tests.browser.designs import (
    BALL,
    CLAY,
    CORE,
    COVER,
    HEBREW,
    HOLE,
    NOTE,
    OUTER,
    OVERRIDE,
    SHELL,
)
from tests.browser.shown import Shown


@pytest.fixture
def hostile(opened: Opener) -> Shown:
    return opened("hostile", fresh=True)


def test_the_override_is_spelled_and_right_to_left_words_are_isolated() -> None:
    """What the page must hold; U+2068 and U+2069 isolate (UAX 9)."""
    assert visible(BALL) == f"\u2068{BALL.replace(OVERRIDE, '(U+202E)')}\u2069"
    assert HEBREW in BALL


def test_the_title_holds_the_name_as_words(hostile: Shown) -> None:
    due = visible(f"{BALL}, revision <i>A</i>")
    assert hostile.page.title() == f"{due}: review dossier"
    assert hostile.page.locator("h1").text_content() == due


def test_no_name_made_an_element_or_ran(hostile: Shown) -> None:
    found = hostile.page.evaluate("""() => ({
      hit: window.hit ?? null,
      made: document.querySelectorAll('main b, iframe, [onclick], [onload], [onerror], i').length,
      images: [...document.querySelectorAll('img')].filter((one) => !one.src.startsWith('data:'))
        .length,
      scripts: document.querySelectorAll('script').length,
      styles: document.querySelectorAll('style').length,
      styled: [...document.querySelectorAll('main [style]')]
        .filter((one) => !one.closest('.sp-overlay')).length,
      hidden: getComputedStyle(document.querySelector('h1')).display,
    })""")
    due = {"hit": None, "made": 0, "images": 0, "scripts": 3, "styles": 1, "styled": 0}
    assert found == {**due, "hidden": "block"}


def test_names_are_shown_as_they_are_with_what_is_unseen_spelled(hostile: Shown) -> None:
    """Of parts, materials, holes and notes, in the page's own sections."""
    words = hostile.page.evaluate("""() => {
      document.querySelector('#space').remove();
      return document.querySelector('main').innerText;
    }""")
    for name in (CORE, OUTER, COVER, CLAY, SHELL, HOLE, NOTE):
        assert visible(name) in words
    assert OVERRIDE not in words


def test_the_ball_works_under_such_names(hostile: Shown) -> None:
    """Rows of parts, labels, readings and the section."""
    rows = hostile.page.locator(".sp-part label").all_inner_texts()
    assert len(rows) == 3
    names = [part["name"] for part in hostile.scene["parts"]]
    hostile.box("Read a point").check()
    read = hostile.click(*(hostile.camera.size_px / 2.0))
    assert read["part"] in names
    assert list(hostile.faces) == names
    hostile.page.locator(".sp-part input[type=checkbox]").last.uncheck()
    assert list(hostile.faces) == names[:2]
    hostile.slide("Take apart", 100)
    assert len(hostile.labels) == 2


def test_no_character_that_is_unseen_turns_the_words_of_the_controls_round(hostile: Shown) -> None:
    """Of parts, of what is read and of labels: spelled, as on the rest of the page."""
    hostile.box("Read a point").check()
    hostile.cut("none")
    for side in ("Slanting", "Back", "Left", "Right"):
        hostile.press(side)
        for word in hostile.labels:
            assert OVERRIDE not in word
    hostile.box("Inertia ellipsoid").check()
    hostile.click(*(hostile.camera.size_px / 2.0))
    shown = hostile.page.evaluate("""() => {
      const space = document.querySelector('#space');
      const named = [...space.querySelectorAll('[aria-label]')].map((one) => one.ariaLabel);
      return [space.querySelector('.sp-plate').textContent, ...named].join('\\n');
    }""")
    assert OVERRIDE not in shown
