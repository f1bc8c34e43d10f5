"""The page as a browser takes it apart: one script, no address, no name that acts as markup."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import unicodedata
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.dossier import page as page_module
from pipeline.dossier.changed import changed, earlier_of
from pipeline.dossier.document import Picture
from pipeline.dossier.page import DATA, SPACE, inlined, page_of
from tests.pipeline.dossier.hostile import LONG, NAMES, renamed
from tests.pipeline.dossier.page_tree import Element, Tree, tree
from tests.pipeline.dossier.told_balls import Data, data, space

WEBP = b"RIFF\x04\x00\x00\x00WEBP"
ADDRESSES = {"src", "href", "xlink:href", "action", "formaction", "data", "poster", "srcset",
             "background", "cite", "manifest", "ping", "codebase"}  # fmt: skip


def files(told: Data) -> dict[str, Picture]:
    return {row["key"]: Picture(row["key"], b"", WEBP, 12, 8) for row in told["pictures"]}


def written(told: Data, shown: Data | None = None) -> bytes:
    return page_of(told, {} if shown is None else shown, files(told))


@pytest.fixture(scope="module")
def real() -> bytes:
    """The page of a drilled ball, with the script and the styles that ship."""
    return written(data("gripped"), space("gripped"))


@pytest.fixture(scope="module")
def parsed(real: bytes) -> Tree:
    return tree(real)


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Pages without script, style and face, which take long to write and to read."""
    monkeypatch.setattr(page_module, "_own", lambda name: f"/* {name} */")
    monkeypatch.setattr(page_module, "face_for", lambda _: b"face")
    return iter(())


def texts(told: Tree) -> str:
    return "\n".join(one.text for one in told.elements if one.tag not in ("script", "style"))


# --- one script, by its hash


def test_only_one_script_runs(parsed: Tree) -> None:
    scripts = parsed.tags("script")
    run = [one for one in scripts if one.attributes.get("type") != "application/json"]
    assert [one.attributes for one in run] == [{}]
    assert [one.attributes["id"] for one in scripts if one not in run] == [DATA, SPACE]


def policy(parsed: Tree) -> dict[str, list[str]]:
    (found,) = (m for m in parsed.tags("meta") if "http-equiv" in m.attributes)
    assert found.attributes["http-equiv"] == "Content-Security-Policy"
    words = [part.split() for part in str(found.attributes["content"]).split(";")]
    return {first: rest for first, *rest in words}


def due(source: str) -> str:
    """The hash of a source as a policy names it."""
    digest = hashlib.sha256(source.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


def test_the_policy_names_the_script_and_the_style_of_this_page_and_no_other(real: bytes) -> None:
    """Cut out of the bytes by hand: what lies between the tags is what a browser hashes."""
    page = real.decode()
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    (script,) = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    found = policy(tree(real))
    assert (found["script-src"], found["style-src"]) == ([due(script)], [due(style)])


def test_the_policy_allows_nothing_from_elsewhere(parsed: Tree) -> None:
    found = policy(parsed)
    assert found["default-src"] == ["'none'"]
    words = {word for words in found.values() for word in words}
    allowed = {"'none'", "data:", "blob:"}
    assert {word for word in words if not word.startswith("'sha256-")} <= allowed
    for name in ("base-uri", "form-action"):  # which the default does not cover
        assert found[name] == ["'none'"]


def test_the_policy_stands_before_all_that_it_rules(parsed: Tree) -> None:
    tags = [one.tag for one in parsed.elements]
    first = next(k for k, one in enumerate(parsed.elements) if "http-equiv" in one.attributes)
    assert first < min(tags.index(tag) for tag in ("style", "script", "link", "body"))


def test_script_and_style_hold_nothing_that_ends_them_early_or_is_read_otherwise(
    parsed: Tree,
) -> None:
    """An opened comment in a script makes a parser look for another end (HTML 13.2.5.20)."""
    for one in (*parsed.tags("script"), *parsed.tags("style")):
        assert not re.search(r"<!--|<script|</script|</style|\r|\0", one.text, re.IGNORECASE)


# --- no address, no style, no event


def test_no_attribute_runs_a_script_or_is_a_style(parsed: Tree) -> None:
    names = {name for one in parsed.elements for name in one.attributes}
    assert not [name for name in names if name.startswith("on") or name == "style"]


def test_nothing_is_fetched(parsed: Tree) -> None:
    for one in parsed.elements:
        for name in ADDRESSES & set(one.attributes):
            assert re.match(r"#|data:", str(one.attributes[name])), (one.tag, name)


def test_styles_fetch_nothing(parsed: Tree) -> None:
    (style,) = parsed.tags("style")
    assert "@import" not in style.text
    places = re.findall(r"url\(\s*[\"']?([^\"')]{0,30})", style.text)
    assert places
    assert all(place.startswith("data:font/woff;base64,") for place in places)


def test_there_is_no_element_that_loads_or_frames_another_page(parsed: Tree) -> None:
    tags = {one.tag for one in parsed.elements}
    assert not tags & {"iframe", "frame", "object", "embed", "base", "form", "applet", "portal",
                       "audio", "video", "foreignobject", "use", "image", "set"}  # fmt: skip


# --- a sound page


def test_every_element_is_closed_and_there_is_no_comment(parsed: Tree) -> None:
    assert parsed.unclosed == []
    assert parsed.others == ["declaration: doctype html"]


def test_no_two_elements_have_one_id(parsed: Tree) -> None:
    ids = [one.attributes["id"] for one in parsed.elements if "id" in one.attributes]
    assert sorted({one for one in ids if ids.count(one) > 1}, key=str) == []


@pytest.mark.usefixtures("bare")
def test_a_picture_that_is_called_as_a_section_or_a_chart_has_an_id_of_its_own() -> None:
    """As 'axes' and 'drilled' are: a link to the section must not lead to the picture."""
    told = data("gripped")
    row = told["pictures"][0]
    names = ["axes", "drilled", "routes", "rg-map", "space", "ball", "dossier", "scene", "verdict"]
    told["pictures"] = [row | {"key": name} for name in names]
    page = tree(written(told))
    ids = [one.attributes["id"] for one in page.elements if "id" in one.attributes]
    assert sorted({one for one in ids if ids.count(one) > 1}, key=str) == []
    assert len(page.tags("img")) == len(names)


def test_what_the_script_asks_for_is_the_place_of_the_ball_in_space(parsed: Tree) -> None:
    """A script that asks for an id is given the first element that has it."""
    first = next(one for one in parsed.elements if one.attributes.get("id") == "space")
    assert first.attributes.get("data-state") == "stills"


def test_every_link_leads_to_a_section_of_that_name(parsed: Tree) -> None:
    first: dict[str, Element] = {}
    for one in parsed.elements:
        if "id" in one.attributes:
            first.setdefault(str(one.attributes["id"]), one)
    links = [str(one.attributes["href"]) for one in parsed.tags("a")]
    assert len(links) >= 10
    for link in links:
        assert first[link.removeprefix("#")].tag == "section", link


def test_every_name_that_an_element_refers_to_is_there(parsed: Tree) -> None:
    ids = {one.attributes.get("id") for one in parsed.elements}
    for one in parsed.elements:
        for name in ("aria-labelledby", "aria-describedby", "for"):
            if name in one.attributes:
                assert set(str(one.attributes[name]).split()) <= ids


def test_the_page_says_its_language_its_letters_and_its_title(parsed: Tree) -> None:
    assert parsed.tags("html")[0].attributes["lang"] == "en"
    assert parsed.tags("meta")[0].attributes == {"charset": "utf-8"}
    assert parsed.tags("title")[0].text == "Dunlin, revision A: review dossier"
    assert len(parsed.tags("h1")) == 1


def test_headings_go_down_by_one(parsed: Tree) -> None:
    levels = [int(one.tag[1]) for one in parsed.elements if re.fullmatch("h[1-6]", one.tag)]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_every_picture_has_words(parsed: Tree) -> None:
    assert parsed.tags("img")
    assert all(str(one.attributes.get("alt") or "").strip() for one in parsed.tags("img"))


def test_the_data_in_the_page_are_those_that_it_was_made_of(parsed: Tree) -> None:
    read = {one.attributes.get("id"): one.text for one in parsed.tags("script")}
    assert json.loads(read[DATA]) == data("gripped")
    assert json.loads(read[SPACE]) == space("gripped")


def test_the_same_data_give_the_same_bytes(real: bytes) -> None:
    assert written(data("gripped"), space("gripped")) == real


def test_ends_of_lines_are_those_of_one_system(real: bytes) -> None:
    assert b"\r" not in real


# --- hostile names


def everything() -> Data:
    """Data of a ball that has all sections: holes, castings, a line, changes."""
    told = data("gripped")
    told |= {key: value for key, value in data("cast").items() if key in ("tooling", "line")}
    told["changed"] = changed(earlier_of(data("bored")), told)
    told["line"]["weights"][0] |= {"met": False, "why": "no such ball"}
    return told


def held(hostile: Tree, harmless: Tree) -> None:
    """Both have the same elements; in drawings the same kinds of them."""
    assert hostile.shape(drawings=False) == harmless.shape(drawings=False)
    assert (hostile.others, hostile.unclosed) == (harmless.others, [])
    tags = {tag for tag, _, _ in harmless.shape()}
    attributes = {one for _, names, _ in harmless.shape() for one in names}
    for tag, names, _ in hostile.shape():  # a long name may take more or fewer lines of a drawing
        assert tag in tags
        assert set(names) <= attributes


@pytest.mark.parametrize("name", list(NAMES.values()), ids=list(NAMES))
@pytest.mark.usefixtures("bare")
def test_hostile_names_make_the_elements_that_harmless_ones_make(name: str) -> None:
    hostile, harmless = (tree(written(renamed(everything(), n))) for n in (name, "tern"))
    held(hostile, harmless)


@pytest.mark.usefixtures("bare")
def test_names_of_ten_thousand_letters_make_the_elements_that_short_ones_make() -> None:
    keys = frozenset({"name", "revision", "material", "caption", "alt", "casting"})
    hostile, harmless = (tree(written(renamed(data("spheres"), n, keys))) for n in (LONG, "tern"))
    held(hostile, harmless)


@pytest.mark.parametrize(
    "name", ["controls", "a change of direction", "ends of lines", "no letter"]
)
@pytest.mark.usefixtures("bare")
def test_no_sign_that_cannot_be_seen_reaches_the_page_from_a_name(name: str) -> None:
    page = tree(written(renamed(everything(), NAMES[name])))
    shown = texts(page) + "".join(str(v) for one in page.elements for v in one.attributes.values())
    hidden = ("Cc", "Cf", "Zl", "Zp", "Co", "Cn")
    seen = {c for c in shown if unicodedata.category(c) in hidden}
    assert seen <= set("\n\u2068\u2069")


@pytest.mark.usefixtures("bare")
def test_a_hostile_name_is_there_to_be_read() -> None:
    name = NAMES["a picture"]
    assert texts(tree(written(renamed(data("gripped"), name)))).count(name) > 20


@pytest.mark.usefixtures("bare")
def test_a_hostile_key_of_a_picture_makes_no_element() -> None:
    """Keys are ours, but `verify` writes a page from the data of one that came back."""
    told = data("gripped")
    for row in told["pictures"]:
        row["key"] = f'{row["key"]}"><script>alert(1)</script>'
    harmless = tree(written(data("gripped")))
    assert tree(written(told)).shape(drawings=False) == harmless.shape(drawings=False)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(
        st.characters(exclude_categories=["Cs"])), inner, max_size=3),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=60)
@given(st.dictionaries(st.sampled_from(["name", "</script>", "<!--", "\u2028"]), JSON))
def test_data_in_a_page_are_read_as_they_were_written(value: dict[str, Any]) -> None:
    found = tree(f'<script type="application/json" id="x">{inlined(value)}</script>')
    (script,) = found.elements
    assert json.loads(script.text) == value
    assert "<" not in script.text


@pytest.mark.parametrize("name", list(NAMES.values()), ids=list(NAMES))
def test_a_hostile_text_in_the_data_ends_no_script(name: str) -> None:
    found = tree(f"<script>{inlined({name: name})}</script><p>after</p>")
    assert [one.tag for one in found.elements] == ["script", "p"]
    assert json.loads(found.elements[0].text) == {name: name}


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_nan_stands_in_a_page(value: float) -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        inlined({"rg": value})
