"""A picture in words holds all that the picture says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.caption import caption_of, figures_said
from pipeline.scene import Scene
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.filmed import brick
from tests.pipeline.plain_scene import plain_scene


@pytest.fixture(scope="module")
def shown() -> Scene:
    return VIEWS["axes"].draw(brick(), weigh(brick()), AS_IT_SUITS)


def test_every_figure_of_the_card_is_said(shown: Scene) -> None:
    """With its value and the trade's word for it; only the first letter may be a capital."""
    words = caption_of(shown).lower()
    rows = [f"{n} {v}" + (f" ({w})" if w else "") for n, v, w in shown.figures]
    assert [row for row in rows if row.lower() not in words] == []


def test_every_part_is_said_with_density_and_weight(shown: Scene) -> None:
    words = caption_of(shown)
    rows = [f"{p.name} {p.density} g/cm\u00b3, {p.mass} lb" for p in shown.legend]
    assert [row for row in rows if row not in words] == []


def test_every_label_is_said(shown: Scene) -> None:
    words = caption_of(shown)
    assert [x.lines for x in shown.labels if " ".join(x.lines) not in words] == []


def test_every_note_is_said(shown: Scene) -> None:
    assert [note for note in shown.notes if note not in caption_of(shown)] == []


def test_ball_and_revision_come_first(shown: Scene) -> None:
    assert caption_of(shown).startswith("Dunlin, revision A. ")


def test_it_is_one_line(shown: Scene) -> None:
    assert caption_of(shown).count("\n") == 1
    assert caption_of(shown).endswith(".\n")


def test_signs_stay_as_they_are() -> None:
    """It is plain text: what means something elsewhere means nothing here."""
    scene = replace(plain_scene(), name='A <b> & "C" 100%', revision="")
    assert caption_of(scene).startswith('A <b> & "C" 100%. ')


def test_what_is_not_there_is_not_said() -> None:
    bare = replace(plain_scene(), revision="", figures=(), legend=(), labels=())
    assert caption_of(bare) == "Plain. A sentence for the foot.\n"


def test_no_figures_are_no_sentence() -> None:
    assert figures_said(replace(plain_scene(), figures=())) == ""


def test_figures_are_a_sentence() -> None:
    assert figures_said(plain_scene()) == "Ball weight 15.00 lb; low RG 2.500 in (medium)."
