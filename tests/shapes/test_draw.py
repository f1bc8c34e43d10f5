"""Draft, what is trapped and low walls against closed forms."""

from __future__ import annotations

from math import acos, asin, atan, degrees, pi, radians, sin

import cadquery as cq
import numpy as np
import pytest

from shapes.draw import draw
from shapes.pieces import Split
from shapes.skin import skin_of
from shapes.solid import rod, sphere
from tests.reference.cast_solids import frustum, open_ring, spool, tilted, tilted_way

R = 50.0
UP = (0.0, 0.0, 1.0)
BALL = skin_of(sphere(R))
SPOOL = spool()
# both inner annuli, and the stem's side between them
HELD = 2.0 * pi * (30.0**2 - 12.0**2) + 2.0 * pi * 12.0 * 32.0


def test_a_frustum_split_at_its_wide_end_has_its_half_angle_for_draft() -> None:
    drawn = draw(skin_of(frustum(30.0, 20.0, 50.0)), [Split(UP, 0.0)])
    side = drawn.skin.faces == int(np.argmax(np.bincount(drawn.skin.faces, drawn.areas_mm2)))
    assert drawn.draft_deg[side] == pytest.approx(degrees(atan(10.0 / 50.0)), abs=1e-9)
    assert drawn.least_draft.value == pytest.approx(degrees(atan(10.0 / 50.0)), abs=1e-9)


def test_nothing_of_a_ball_is_trapped_at_its_equator() -> None:
    drawn = draw(BALL, [Split(UP, 0.0)])
    assert drawn.trapped_mm2 == 0.0
    assert drawn.least_draft.value == 0.0


@pytest.mark.parametrize("draft", [0.5, 1.0, 5.0])
def test_a_ball_is_low_up_to_r_sine_of_the_draft(draft: float) -> None:
    """With a zone of 2 pi R h on either side (Archimedes)."""
    walls = draw(BALL, [Split(UP, 0.0)]).low_walls(draft)
    height = R * sin(radians(draft))
    assert [w.height_mm for w in walls] == pytest.approx([height, height], abs=1e-4)
    assert [w.area_mm2 for w in walls] == pytest.approx([2.0 * pi * R * height] * 2, rel=5e-3)


@pytest.mark.parametrize("off", [0.5, 3.0, -20.0])
def test_a_ball_split_off_its_equator_is_trapped_in_between(off: float) -> None:
    """The zone's area is 2 pi R h (Archimedes)."""
    drawn = draw(BALL, [Split(UP, off)])
    assert drawn.trapped_mm2 == pytest.approx(2.0 * pi * R * abs(off), rel=2e-3)
    assert drawn.least_draft.value == pytest.approx(-degrees(asin(abs(off) / R)), abs=1e-3)


@pytest.mark.parametrize("turned", [False, True], ids=["upright", "tilted"])
def test_a_spool_holds_what_is_drawn_along_it(turned: bool) -> None:
    """Rims of flat faces are chords of the mesh: 0.1 % short."""
    skin = skin_of(tilted(SPOOL) if turned else SPOOL)
    way = tilted_way(*UP) if turned else UP
    assert draw(skin, [Split(way, 24.0)]).trapped_mm2 == pytest.approx(HELD, rel=2e-3)


def test_a_spool_comes_free_across_its_axis() -> None:
    drawn = draw(skin_of(SPOOL), [Split((0.0, 1.0, 0.0), 0.0)])
    assert drawn.trapped_mm2 == 0.0
    assert drawn.low_walls(1.0)[0].height_mm == pytest.approx(30.0, abs=1e-9)


@pytest.mark.parametrize("turned", [False, True], ids=["upright", "tilted"])
def test_a_far_wall_shadows_faces_that_lean_the_right_way(turned: bool) -> None:
    """An open ring, split at x = 35: its bore is behind its own back, however its faces lean."""
    ring = tilted(open_ring()) if turned else open_ring()
    way = tilted_way(1.0, 0.0, 0.0) if turned else (1.0, 0.0, 0.0)
    drawn = draw(skin_of(ring), [Split(way, 35.0)])
    outside = 2.0 * 40.0 * 20.0 * (pi / 2.0 - acos(35.0 / 40.0))  # leans against the pull
    leaning = 30.0 * 20.0 * pi
    shadowed = 2.0 * 30.0 * 20.0 * (pi / 2.0 - asin(10.0 / 30.0))
    slot = 2.0 * 20.0 * (35.0 - (30.0**2 - 10.0**2) ** 0.5)
    assert drawn.trapped_mm2 == pytest.approx(outside + leaning + shadowed + slot, rel=0.01)
    by_normals = drawn.areas_mm2[drawn.leans < -1e-6].sum()
    assert by_normals == pytest.approx(outside + leaning, rel=0.01)


@pytest.mark.parametrize(
    "solid",
    [cq.Solid.makeBox(20.0, 30.0, 50.0), rod(20.0, 80.0), open_ring()],
    ids=["box", "rod", "open ring"],
)
def test_upright_walls_are_not_trapped(solid: cq.Solid) -> None:
    drawn = draw(skin_of(tilted(solid)), [Split(tilted_way(*UP), 10.0)])
    assert drawn.trapped_mm2 == 0.0
    assert drawn.least_draft.value == 0.0


def test_an_upright_wall_is_low_over_its_whole_height() -> None:
    walls = draw(skin_of(cq.Solid.makeBox(20.0, 30.0, 50.0)), [Split(UP, 20.0)]).low_walls(1.0)
    assert [(w.height_mm, w.area_mm2) for w in walls] == [
        pytest.approx((30.0, 3000.0)),
        pytest.approx((20.0, 2000.0)),
    ]


def test_a_wall_of_just_the_draft_that_is_asked_for_is_not_low() -> None:
    drawn = draw(skin_of(frustum(30.0, 20.0, 50.0)), [Split(UP, 0.0)])
    assert drawn.low_walls(degrees(atan(0.2))) == ()
    assert drawn.low_walls(degrees(atan(0.2)) + 1e-3)[0].height_mm == pytest.approx(50.0)


def test_the_deepest_trapped_facet_is_measured_along_the_pull_of_its_piece() -> None:
    """The stem's middle and the annuli: nothing is deeper below the top than the plane."""
    deepest = draw(skin_of(SPOOL), [Split(UP, 24.0)]).deepest
    assert deepest is not None
    assert 20.0 < deepest.value < 24.0
    assert np.hypot(*deepest.place_mm[:2]) == pytest.approx(12.0, abs=0.1)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_face_in_the_plane_is_left_to_the_piece_before_it(way: float) -> None:
    drawn = draw(skin_of(frustum(30.0, 20.0, 50.0)), [Split((0.0, 0.0, way), 0.0)])
    assert drawn.trapped_mm2 == 0.0
    assert drawn.draft_deg.max() == pytest.approx(90.0)


def test_three_pieces_each_keep_to_their_own_side() -> None:
    splits = [Split((0.0, 0.0, -1.0), -8.0), Split((0.0, 1.0, 0.0), 0.0)]
    drawn = draw(skin_of(SPOOL), splits)
    assert drawn.trapped_mm2 == 0.0
    corners = drawn.skin.net.flat()
    assert corners[drawn.pieces == 0][:, :, 2].max() <= 8.0 + 1e-6
    assert corners[drawn.pieces == 1][:, :, 1].min() >= -1e-6
    assert drawn.areas_mm2.sum() == pytest.approx(skin_of(SPOOL).area_mm2, rel=1e-9)
