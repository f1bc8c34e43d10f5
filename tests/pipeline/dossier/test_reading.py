"""A page that comes back: read whole, or refused in words that name the file.

A page may have been cut off, edited, mailed, or be another file altogether: whatever its bytes are,
nothing but `NoDossier` is raised.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pipeline.dossier import page as page_module
from pipeline.dossier.document import Picture
from pipeline.dossier.page import page_of
from pipeline.dossier.reading import NoDossier, PageRead, read_page
from pipeline.errors import CorewrightError
from tests.pipeline.dossier.told_balls import data

FORMAT = "corewright dossier 1"
SMALL = (
    '<!doctype html>\n<html lang="en"><head><title>Dunlin</title></head><body>\n'
    '<section id="space"><h2>The ball</h2><figure class="still" id="cutaway">'
    '<img src="data:image/webp;base64,UklGRg==" alt="The ball, cut."></figure></section>\n'
    '<script type="application/json" id="dossier">{"format":"corewright dossier 1"}</script>\n'
    '<script type="application/json" id="scene">{"parts":[]}</script>\n'
    "<script>run()</script></body></html>\n"
)
SPACE = {"radius_mm": 108.585, "parts": [{"name": "cover", "data": "eJw="}]}


@pytest.fixture(scope="module")
def real(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page as it is written, with a short script in place of the viewer."""
    told = data("bored")
    pictures = {
        r["key"]: Picture(r["key"], b"", r["key"].encode(), 12, 8) for r in told["pictures"]
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(page_module, "_own", lambda name: f"/* {name} <p> */")
        patch.setattr(page_module, "face_for", lambda _: b"face")
        raw = page_of(told, SPACE, pictures)
    file = tmp_path_factory.mktemp("page") / "dossier.html"
    file.write_bytes(raw)
    return file


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file to write what is tried into."""
    return tmp_path_factory.mktemp("tried") / "came back.html"


def tried(place: Path, raw: bytes | str) -> PageRead | str:
    """What is read, or why it is not."""
    place.write_bytes(raw.encode() if isinstance(raw, str) else raw)
    try:
        return read_page(place)
    except NoDossier as refusal:
        why = str(refusal)
    assert str(place) in why
    return why


def refused(place: Path, raw: bytes | str) -> str:
    found = tried(place, raw)
    assert isinstance(found, str)
    return found


def swapped(old: str, new: str) -> str:
    assert SMALL.count(old) == 1, old
    return SMALL.replace(old, new)


# --- a whole page


def test_a_page_is_read_as_it_was_written(real: Path) -> None:
    page = read_page(real)
    assert page.raw == real.read_bytes()
    assert page.data == data("bored")
    assert page.space == SPACE


def test_pictures_are_read_by_their_keys(real: Path) -> None:
    rows = data("bored")["pictures"]
    assert read_page(real).pictures == {row["key"]: row["key"].encode() for row in rows}


def test_words_are_read_by_the_section_that_they_stand_in(real: Path) -> None:
    texts = read_page(real).texts
    assert texts["verdict"][0] == "Verdict"
    assert "Dunlin, revision A" in texts[""]
    assert any("The ball, view 0." in words for words in texts["ball"])


def test_neither_script_nor_style_is_read_as_words(real: Path) -> None:
    words = [word for texts in read_page(real).texts.values() for word in texts]
    assert not [word for word in words if "viewer.js" in word or "font-face" in word]
    assert not [word for word in words if '"format"' in word]


def test_ends_of_lines_that_mail_changes_do_not_matter(place: Path) -> None:
    page = tried(place, SMALL.replace("\n", "\r\n"))
    assert isinstance(page, PageRead)
    assert page.data == {"format": FORMAT}


# --- none, or no whole one


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    file = tmp_path / "gone.html"
    with pytest.raises(NoDossier, match=r"gone\.html cannot be read: No such file"):
        read_page(file)


def test_a_folder_is_no_page(tmp_path: Path) -> None:
    with pytest.raises(NoDossier, match="cannot be read"):
        read_page(tmp_path)


def test_a_refusal_is_one_that_the_command_line_tells() -> None:
    assert issubclass(NoDossier, CorewrightError)


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
        b"PK\x03\x04\x00\xff",
        SMALL.encode("utf-16"),
        SMALL.encode("utf-32"),
        b"\xff" * 64,
        b"<!doctype html><p>Another page</p>",
        b"format: corewright 1\nname: Dunlin\n",
        b"\0" * 1000,
    ],
    ids=["empty", "pdf", "zip", "utf-16", "utf-32", "no letters", "html", "design", "noughts"],
)
def test_another_file_is_no_page_of_a_dossier(raw: bytes, place: Path) -> None:
    assert "is no page of a dossier" in refused(place, raw)


@pytest.mark.parametrize("name", ["dossier", "scene"])
def test_a_page_without_its_data_names_what_is_missing(name: str, place: Path) -> None:
    assert f"it has no element '{name}' with data" in refused(place, swapped(f'id="{name}"', ""))


@pytest.mark.parametrize(
    "broken",
    ['{"format"', "", "{'format': 1}", '{"format":"corewright dossier 1"}}', "{\x00}", "9" * 5000],
)
def test_broken_json_says_which_data_are_broken(broken: str, place: Path) -> None:
    whole = '{"format":"corewright dossier 1"}'
    assert "element 'dossier' are" in refused(place, swapped(whole, broken)) or broken == ""


def test_an_element_without_data_is_refused(place: Path) -> None:
    assert "'dossier'" in refused(place, swapped('{"format":"corewright dossier 1"}', ""))


@pytest.mark.parametrize("other", ["[]", '"text"', "1", "null", "true"])
def test_data_that_are_no_object_are_refused(other: str, place: Path) -> None:
    assert "no JSON object" in refused(place, swapped('{"parts":[]}', other))


@pytest.mark.parametrize("other", ["corewright dossier 2", "corewright dossier", "", "dossier 1"])
def test_another_format_is_refused_and_ours_is_named(other: str, place: Path) -> None:
    why = refused(place, swapped(FORMAT, other))
    assert f"its format is not '{FORMAT}'" in why


@pytest.mark.parametrize("other", ["UklGR", "Ukl*", "====", "UklGRg", "Uk lGRg=="])
def test_a_picture_that_is_no_base64_is_refused(other: str, place: Path) -> None:
    assert "a picture in it is broken" in refused(place, swapped("UklGRg==", other))


# --- whatever the bytes are


@pytest.mark.parametrize("other", ["UklGé", "UklG&eth", "UklG核", "Ukl\u2028"])
def test_a_picture_with_a_letter_beyond_ascii_is_refused_in_words(other: str, place: Path) -> None:
    assert "a picture in it is broken" in refused(place, swapped("UklGRg==", other))


@pytest.mark.parametrize(
    "piece", ["<![octype html>", "<![ html>", "<![foo[x]]>", "<![CDATA[x]]>", "<![", "<!-x>", "<?x"]
)
def test_a_declaration_that_no_parser_knows_raises_nothing_of_the_parsers_own(
    piece: str, place: Path
) -> None:
    """One flipped letter of '<!doctype' makes such a one; browsers take it for a comment."""
    found = tried(place, swapped("<!doctype html>", piece))
    assert isinstance(found, PageRead | str)


@pytest.mark.parametrize("opened", ["[", '{"a":'])
def test_data_nested_beyond_all_measure_are_refused_in_words(opened: str, place: Path) -> None:
    assert "scene" in refused(place, swapped('{"parts":[]}', opened * 100_000))


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity"])
def test_numbers_that_json_does_not_have_are_refused(number: str, place: Path) -> None:
    """RFC 8259 has none of them; held against a figure, NaN is like nothing, itself included."""
    assert "broken" in refused(place, swapped('{"parts":[]}', f'{{"parts":{number}}}'))


FIXED = settings(deadline=None, max_examples=80)


@FIXED
@given(share=st.floats(0.0, 1.0))
@example(share=0.9999)
def test_a_page_that_is_cut_off_anywhere_is_read_or_refused(
    share: float, real: Path, place: Path
) -> None:
    raw = real.read_bytes()
    found = tried(place, raw[: int(share * len(raw))])
    if isinstance(found, PageRead):  # cut behind the data
        assert found.data == data("bored")


@FIXED
@given(share=st.floats(0.0, 1.0, exclude_max=True), byte=st.integers(0, 255))
def test_a_page_with_one_byte_changed_is_read_or_refused(
    share: float, byte: int, real: Path, place: Path
) -> None:
    raw = bytearray(real.read_bytes())
    raw[int(share * len(raw))] = byte
    assert isinstance(tried(place, bytes(raw)), PageRead | str)


@FIXED
@given(at=st.integers(0, len(SMALL) - 1), byte=st.integers(0, 255))
@example(at=2, byte=ord("["))
def test_a_small_page_with_one_byte_changed_is_read_or_refused(
    at: int, byte: int, place: Path
) -> None:
    """Here markup is most of it."""
    raw = bytearray(SMALL.encode())
    raw[at] = byte
    assert isinstance(tried(place, bytes(raw)), PageRead | str)


PIECES = ["<", "<!", "<![", "<!--", "-->", "]]>", "</", "</script>", "<script id=x>", "&", "&eth",
          "&#xD800;", "&#0;", '"', "'", "\0", "\r", "<svg>", "<img src='data:image/webp;base64,é'>",
          "<figure>", "<section id>", "{", "}", "<?", "<a b=c b=d>"]  # fmt: skip


@FIXED
@given(at=st.integers(0, len(SMALL)), piece=st.sampled_from(PIECES))
def test_a_small_page_with_markup_put_in_anywhere_is_read_or_refused(
    at: int, piece: str, place: Path
) -> None:
    assert isinstance(tried(place, SMALL[:at] + piece + SMALL[at:]), PageRead | str)


@FIXED
@given(raw=st.binary(max_size=200))
def test_any_bytes_at_all_are_refused(raw: bytes, place: Path) -> None:
    refused(place, raw)
