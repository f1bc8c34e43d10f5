"""Views of bodies whose outlines are known in closed form (elementary geometry)."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from shapes import solid
from shapes.hidden_lines import projected

FRONT, UP, TOP = (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, 1.0)
BACK = (0.0, 1.0, 0.0)
ALL_SIDES = [
    ((1.0, 0.0, 0.0), UP), ((-1.0, 0.0, 0.0), UP), (FRONT, UP), (BACK, UP), (TOP, BACK),
    ((0.0, 0.0, -1.0), BACK),
]  # fmt: skip


@pytest.mark.parametrize(("toward", "up"), ALL_SIDES)
def test_a_ball_is_seen_as_its_circle(
    toward: tuple[float, float, float], up: tuple[float, float, float]
) -> None:
    view = projected([solid.sphere(30.0)], toward, up)
    radii = np.linalg.norm(np.concatenate(view.outlines), axis=1)
    assert np.abs(radii - 30.0).max() < 3e-5  # half a millionth of the radius, twice
    assert not view.sharp
    assert not view.hidden


def test_an_upright_cylinder_is_seen_from_the_side_as_a_rectangle() -> None:
    low, high = projected([cq.Solid.makeCylinder(12.5, 40.0)], FRONT, UP).bounds()
    assert np.allclose(low, [-12.5, 0.0], atol=2e-5)
    assert np.allclose(high, [12.5, 40.0], atol=2e-5)


def test_an_upright_cylinder_is_seen_from_above_as_one_circle() -> None:
    view = projected([cq.Solid.makeCylinder(12.5, 40.0)], TOP, BACK)
    lines = [*view.outlines, *view.sharp]
    length = sum(float(np.linalg.norm(np.diff(a, axis=0), axis=1).sum()) for a in lines)
    assert length == pytest.approx(2.0 * np.pi * 12.5, rel=2e-3)  # chords of 0.02 mm


def test_a_bore_is_hidden_from_the_side_at_its_radius() -> None:
    block = cq.Workplane().box(40.0, 40.0, 20.0).faces(">Z").workplane().hole(14.0).val()
    view = projected([block], FRONT, UP)
    hidden = np.concatenate(view.hidden)
    assert np.abs(hidden[:, 0]).max() == pytest.approx(7.0, abs=1e-5)
    assert {round(float(x), 6) for x in np.concatenate(view.sharp)[:, 0]} == {-20.0, 20.0}


@pytest.mark.parametrize(("toward", "up"), ALL_SIDES)
def test_nothing_in_a_closed_cavity_is_seen(
    toward: tuple[float, float, float], up: tuple[float, float, float]
) -> None:
    hollow = cq.Workplane().box(20.0, 16.0, 30.0).edges("|Z").fillet(5.0).val()
    shell = solid.cut(solid.sphere(30.0), [hollow])
    view = projected(shell, toward, up)
    seen = np.concatenate([*view.outlines, *view.sharp, *view.smooth])
    assert np.linalg.norm(seen, axis=1).min() > 29.9


def test_the_kernels_own_mistake_is_put_right() -> None:
    """It shows the smooth edges of Dunlin's cavity from the left, through the foam."""
    from pathlib import Path

    from pipeline.ball import build_ball
    from pipeline.load import load
    from pipeline.solids import solids_of

    design = Path(__file__).parents[2] / "shapes" / "designs" / "dunlin.yaml"
    foam = solids_of(build_ball(load(design)))[1].lumps
    assert not projected(foam, (-1.0, 0.0, 0.0), UP).smooth


def test_right_and_up_follow_the_right_hand() -> None:
    view = projected([cq.Solid.makeBox(1.0, 2.0, 3.0)], FRONT, UP)
    assert np.allclose(view.place(np.array([1.0, 5.0, 3.0])), [1.0, 3.0])
