"""The page as the browser has taken it apart, with what the script added: sound and named."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.browser.conftest import Opener
from tests.browser.designs import NAMES
from tests.browser.shown import Shown


@pytest.fixture(params=NAMES[:4])
def shown(request: pytest.FixtureRequest, opened: Opener) -> Shown:
    return opened(request.param)


def test_ids_are_unique_and_what_names_one_finds_it(shown: Shown) -> None:
    found = shown.page.evaluate("""() => {
      const ids = [...document.querySelectorAll('[id]')].map((one) => one.id);
      const named = [];
      for (const name of ['for', 'aria-labelledby', 'aria-describedby', 'aria-controls'])
        for (const one of document.querySelectorAll(`[${name}]`))
          named.push(...one.getAttribute(name).split(' '));
      for (const one of document.querySelectorAll('a[href^="#"]'))
        named.push(one.getAttribute('href').slice(1));
      return { ids, named };
    }""")
    assert len(found["ids"]) > 50
    assert sorted({one for one in found["ids"] if found["ids"].count(one) > 1}) == []
    assert set(found["named"]) <= set(found["ids"])


def test_headings_skip_no_level_and_there_is_one_of_the_first(shown: Shown) -> None:
    levels = [
        int(one[1])
        for one in shown.page.evaluate(
            "[...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map((one) => one.localName)"
        )
    ]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))


def test_every_head_of_a_table_says_what_it_heads(shown: Shown) -> None:
    found = shown.page.evaluate(
        "[...document.querySelectorAll('th')].map((one) => [one.scope, one.textContent])"
    )
    assert len(found) > 40
    assert {scope for scope, _ in found} == {"row", "col"}
    assert all(words.strip() for _, words in found)
    bare = shown.page.evaluate(
        "[...document.querySelectorAll('table')].filter((one) => !one.caption).length"
    )
    assert bare == 0


def test_every_picture_and_drawing_has_a_name_or_is_not_told_of(shown: Shown) -> None:
    """Samples of lines and hatching beside words are hidden from readers of screens."""
    nameless = shown.page.evaluate("""() => {
      const words = (one) => one.getAttribute('aria-label') ??
        (one.getAttribute('aria-labelledby') ?? '').split(' ').filter(Boolean)
          .map((id) => document.getElementById(id)?.textContent ?? '').join(' ');
      return [...document.querySelectorAll('img, svg, canvas')]
        .filter((one) => !one.closest('[aria-hidden="true"]'))
        .filter((one) => !(one.alt || words(one) || '').trim())
        .map((one) => one.outerHTML.slice(0, 100));
    }""")
    assert nameless == []
    charts = shown.page.locator("figure.chart svg")
    assert all(one.get_attribute("role") == "img" for one in charts.all())


def test_every_control_has_a_name(shown: Shown) -> None:
    session = shown.page.context.new_cdp_session(shown.page)
    roles = {"button", "checkbox", "radio", "slider", "combobox", "application"}
    found = [
        (one["role"]["value"], one.get("name", {}).get("value", ""))
        for one in session.send("Accessibility.getFullAXTree")["nodes"]
        if not one["ignored"] and one["role"]["value"].lower() in roles
    ]
    assert len(found) > 20
    assert [role for role, name in found if not name.strip()] == []
    assert len(set(found)) == len(found)  # and no two of one kind have the same


def test_the_page_tells_its_language_and_may_be_zoomed(shown: Shown) -> None:
    assert shown.page.locator("html").get_attribute("lang") == "en"
    viewport = shown.page.locator("meta[name=viewport]").get_attribute("content")
    assert viewport == "width=device-width, initial-scale=1"
