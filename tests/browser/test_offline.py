"""A page opens from disk and asks for nothing; what is not its own does nothing there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.conftest import Opener
from tests.browser.designs import NAMES
from tests.browser.shown import Shown

_INTRUDE = """async () => {
  const blocked = [];
  addEventListener('securitypolicyviolation', (event) =>
    blocked.push([event.effectiveDirective, event.blockedURI]));
  const make = (tag, about) => Object.assign(document.createElement(tag), about);
  document.body.append(make('script', { textContent: 'window.hit = "script"' }));
  document.body.append(make('script', { src: 'http://example.invalid/x.js' }));
  document.body.append(make('script', { src: 'data:text/javascript,window.hit="data"' }));
  document.body.append(make('img', { src: 'http://example.invalid/x.png' }));
  document.body.append(make('style', { textContent: 'h1 { position: fixed }' }));
  document.body.append(make('iframe', { src: 'data:text/html,<p>x' }));
  document.body.insertAdjacentHTML('beforeend', '<b onclick="window.hit = 2">x</b>');
  document.body.lastChild.click();
  await fetch('http://example.invalid/').catch(() => {});
  setTimeout(() => eval('window.hit = "eval"')); // later, for a test may eval
  await new Promise((done) => setTimeout(done, 300));
  return { blocked, hit: window.hit ?? null,
    place: getComputedStyle(document.querySelector('h1')).position };
}"""


@pytest.mark.parametrize("name", NAMES)
def test_a_page_draws_its_ball_without_an_error_and_without_the_network(
    opened: Opener, name: str
) -> None:
    shown = opened(name, fresh=True)
    shown.page.wait_for_timeout(500)  # for what may come late
    assert shown.seen.faults == []
    assert shown.seen.strays == {}
    assert [url for url in shown.seen.requests if url.startswith("file:")] == [shown.page.url]
    assert shown.told("frames") > 0


@pytest.fixture
def intruded(opened: Opener) -> Iterator[tuple[Shown, dict[str, Any]]]:
    """A page into which scripts, styles, a picture and a frame were put; what became of them."""
    shown = opened("dunlin", fresh=True)
    found: dict[str, Any] = shown.page.evaluate(_INTRUDE)
    yield shown, found
    shown.seen.faults.clear()  # the browser tells the console of each
    shown.seen.strays.clear()


def test_no_script_runs_that_is_not_the_page_s_own(intruded: tuple[Shown, dict[str, Any]]) -> None:
    _, found = intruded
    assert found["hit"] is None
    told = [where for directive, where in found["blocked"] if directive.startswith("script-src")]
    assert {"inline", "eval", "http://example.invalid/x.js", "data"} <= set(told)


def test_a_picture_from_elsewhere_is_not_asked_for(
    intruded: tuple[Shown, dict[str, Any]],
) -> None:
    """It fails for the policy, before it is found that there is no network."""
    shown, found = intruded
    assert ["img-src", "http://example.invalid/x.png"] in found["blocked"]
    assert shown.seen.strays["http://example.invalid/x.png"] == "csp"


def test_no_other_style_frame_or_request_is_let_in(
    intruded: tuple[Shown, dict[str, Any]],
) -> None:
    _, found = intruded
    assert found["place"] == "static"
    assert {"style-src-elem", "frame-src", "connect-src"} <= {one for one, _ in found["blocked"]}


def test_the_ball_still_turns_after_all_that(intruded: tuple[Shown, dict[str, Any]]) -> None:
    shown, _ = intruded
    shown.press("Back")
    assert shown.told("view")["azimuth_deg"] == 90
