from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from pipeline.drafting import CAPITALS, Rect, Stroke, Words, box, width_mm, wrapped
from pipeline.section_lining import hatched

SQUARE = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0], [0.0, 0.0]])
HOLE = np.array([[5.0, 5.0], [15.0, 5.0], [15.0, 15.0], [5.0, 15.0], [5.0, 5.0]])


@pytest.mark.parametrize("words", ["\u00d8 111.76", "R 5.08", "Saltmarsh Castings", "\u22120.04"])
def test_words_are_as_long_as_the_faces_own_table_says(words: str) -> None:
    """Advances of the variable face at weight 400 by fontTools, without kerning."""
    from fontTools.ttLib import TTFont

    font = TTFont(str(files("pipeline").joinpath("fonts/SourceSans3.ttf")))
    glyphs, cmap = font.getGlyphSet(location={"wght": 400}), font.getBestCmap()
    units = sum(glyphs[cmap[ord(c)]].width for c in words)
    due = units / font["head"].unitsPerEm * 2.5 / CAPITALS
    assert width_mm(words, 2.5) == pytest.approx(due, rel=2e-3)


def test_a_capital_is_as_high_as_it_is_said_to_be() -> None:
    assert box(Words((0.0, 0.0), "H", 3.5)).top == pytest.approx(3.5, rel=0.01)


def test_words_set_to_the_right_end_where_they_should() -> None:
    assert box(Words((10.0, 0.0), "111.76", anchor="right")).right == 10.0


def strokes(outlines: list[np.ndarray], **more: object) -> list[Stroke]:
    return [m for m in hatched(outlines, 2.0, **more) if isinstance(m, Stroke)]  # type: ignore[arg-type]


def length(some: list[Stroke]) -> float:
    return float(sum(np.linalg.norm(np.subtract(*s.points)) for s in some))


def test_hatching_covers_what_an_odd_number_of_outlines_surrounds() -> None:
    """Strokes 2 mm apart: half their length is the area; 400 - 100 mm2."""
    assert length(strokes([SQUARE, HOLE])) * 2.0 == pytest.approx(300.0, rel=0.03)


def test_hatching_leaves_words_free() -> None:
    word = Rect(8.0, 8.0, 12.0, 12.0)
    middles = [np.mean(s.points, axis=0) for s in strokes([SQUARE], clear=[word])]
    assert length(strokes([SQUARE], clear=[word])) * 2.0 == pytest.approx(384.0, rel=0.03)
    assert not [m for m in middles if word.left < m[0] < word.right and 8.0 < m[1] < 12.0]


def test_a_word_too_long_for_its_room_is_broken() -> None:
    lines = wrapped("x" * 200, 30.0)
    assert "".join(lines) == "x" * 200
    assert max(width_mm(line) for line in lines) <= 30.0
