"""Words beside the ball: what they say, and that they keep to their width."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.blocks import figures, legend, notes, title
from pipeline.scene import Entry
from pipeline.sheet import Block
from tests.pipeline.plain_scene import plain_scene

SCENE = plain_scene()
EM = 20.0


def said(block: Block) -> list[str]:
    return [words.text for words in block.words]


def test_the_title_is_name_and_revision() -> None:
    assert said(title(SCENE, EM, 400.0)) == ["Plain", "revision A"]


def test_letters_that_the_face_lacks_are_question_marks() -> None:
    scene = replace(
        SCENE, name="核心 B", revision="甲", legend=(Entry("#B5482A", "芯", "2.000", "5.00", True),)
    )
    assert said(title(scene, EM, 400.0)) == ["?? B", "revision ?"]
    assert "?" in said(legend(scene, EM, 400.0))


def test_a_long_title_keeps_to_its_width() -> None:
    block = title(replace(SCENE, name="a name that is far too long " * 4), EM, 300.0)
    assert max(words.box.right for words in block.words) <= 300.0


def test_figures_end_at_one_line() -> None:
    block = figures(SCENE, EM)
    rights = [words.box.right for words in block.words if words.text[0].isdigit()]
    assert rights == pytest.approx([rights[0]] * len(SCENE.figures))


def test_the_trades_word_stands_after_its_figure() -> None:
    block = figures(SCENE, EM)
    value, word = (next(w for w in block.words if w.text == t) for t in ("2.500 in", "medium"))
    assert value.box.right < word.box.left
    assert value.box.top < word.box.top < value.box.bottom


def test_a_part_that_is_not_seen_is_said_so_and_has_a_hollow_swatch() -> None:
    block = legend(SCENE, EM, 400.0)
    assert {"core", "cover (not seen)"} <= set(said(block))
    assert [swatch.hollow for swatch in block.swatches] == [False, True]


def test_notes_keep_to_their_width() -> None:
    block = notes(SCENE, EM, 120.0)
    assert len(block.words) > 1
    assert block.width <= 120.0
