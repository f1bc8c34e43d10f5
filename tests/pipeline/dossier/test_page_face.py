"""The face of a page: the letters asked for, as long as those of the whole face, in a web font.

WOFF 1.0 (W3C recommendation of 2012, from memory): a header of 44 bytes that starts with 'wOFF',
then the directory of tables.
"""

from __future__ import annotations

import io
import struct
from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont

from pipeline.dossier.page_face import face_for

SHOWN = "Godwit ✓ ✗ \N{MINUS SIGN} ° ø é „“"
WHOLE = files("pipeline").joinpath("fonts", "SourceSans3.ttf")


@pytest.fixture(scope="module")
def face() -> bytes:
    return face_for(SHOWN)


def font(data: bytes) -> TTFont:
    return TTFont(io.BytesIO(data))


def test_the_file_is_a_whole_web_font(face: bytes) -> None:
    signature, _, length, tables, reserved = struct.unpack(">4sLLHH", face[:16])
    assert (signature, length, reserved) == (b"wOFF", len(face), 0)
    tags = {face[44 + 20 * k : 48 + 20 * k].decode() for k in range(tables)}
    assert {"cmap", "glyf", "head", "hhea", "hmtx", "maxp", "name", "fvar", "gvar"} <= tags


def test_every_letter_that_the_whole_face_has_is_there(face: bytes) -> None:
    whole = TTFont(io.BytesIO(WHOLE.read_bytes())).getBestCmap()
    own = font(face).getBestCmap()
    assert [c for c in SHOWN if ord(c) in whole and ord(c) not in own] == []


def test_digits_and_common_signs_are_there_whatever_is_shown() -> None:
    own = font(face_for("")).getBestCmap()
    assert [c for c in "0123456789 .,-+%()/AZaz\u2212\u00b0" if ord(c) not in own] == []


def test_letters_that_nobody_asked_for_are_left_out(face: bytes) -> None:
    own = font(face).getBestCmap()
    assert not {ord(c) for c in "Жщωřł"} & set(own)
    assert len(face) < len(WHOLE.read_bytes()) / 3


def test_letters_are_as_wide_as_in_the_whole_face(face: bytes) -> None:
    """Or what was laid out by one would not fit with the other."""
    whole, own = TTFont(io.BytesIO(WHOLE.read_bytes())), font(face)
    assert own["head"].unitsPerEm == whole["head"].unitsPerEm
    for letter in "Godwit0123456789\u2212":
        wide = [f["hmtx"][f.getBestCmap()[ord(letter)]][0] for f in (own, whole)]
        assert wide[0] == wide[1]


def test_both_weights_are_in_it(face: bytes) -> None:
    (weight,) = font(face)["fvar"].axes
    assert (weight.axisTag, weight.minValue, weight.maxValue) == ("wght", 200.0, 900.0)


def test_the_same_letters_give_the_same_bytes(face: bytes) -> None:
    assert face_for(SHOWN) == face
    assert face_for(SHOWN[::-1] + SHOWN) == face


@pytest.mark.parametrize("letters", ["核", "\U0001f642", "שלום", "\ufffe", "\u0301"])
def test_letters_that_the_face_lacks_do_no_harm(letters: str) -> None:
    assert font(face_for(letters)).getBestCmap()


def test_the_licence_and_the_name_of_the_face_stay_in_it(face: bytes) -> None:
    """The SIL Open Font License asks for it, and for no other name of a changed face than ours."""
    names = font(face)["name"]
    assert names.getDebugName(1) is not None
