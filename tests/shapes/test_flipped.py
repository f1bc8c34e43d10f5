"""Mirror images of placed bodies against their moments and points, mirrored."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.boundary import moments_of_solid
from shapes.flipped import Flipped, image
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.solid import placed
from shapes.sphere import Sphere
from shapes.swept import Twisted
from tests.reference.drawn_bodies import DRAWN, drawn_body
from tests.reference.gaps import gaps

ACROSS = ("x", "y", "z")


def mirror(across: str) -> np.ndarray:
    return np.diag([-1.0 if axis == across else 1.0 for axis in ACROSS])


@pytest.mark.parametrize("across", ACROSS)
@pytest.mark.parametrize("word", DRAWN)
def test_an_image_weighs_as_the_mirrored_body(word: str, across: str) -> None:
    body = drawn_body(word, 1)
    found, due = image(body, across).moments(), body.moments().turned(mirror(across))
    size = float(due.second_mm5.max())
    assert found.volume_mm3 == pytest.approx(due.volume_mm3, rel=1e-12)
    assert found.second_mm5 == pytest.approx(due.second_mm5, abs=1e-11 * size)


@pytest.mark.parametrize("word", DRAWN)
def test_an_image_holds_the_mirrored_points(word: str) -> None:
    body = drawn_body(word, 2)
    points = np.random.default_rng(1).uniform(-80, 80, (2000, 3))
    held = image(body, "x").contains(points)
    assert (held == body.contains(points @ mirror("x"))).all()
    assert held.any()


@pytest.mark.parametrize("word", ["twisted", "box", "bossed", "turned", "ell"])
def test_the_solid_of_an_image_weighs_the_same(word: str) -> None:
    body = image(drawn_body(word, 3), "y")
    built = moments_of_solid(placed(body.shape.solid(), body.placement))
    assert gaps(built, body.moments()).rg_in < 1e-8


def test_the_image_of_an_image_is_the_body() -> None:
    body = Placed(Twisted.typical(), Placement(30.0, 20.0, 10.0, (1.0, 2.0, 3.0)))
    twice = image(image(body, "z"), "z")
    assert twice.shape is body.shape
    assert twice.placement.rotation() == pytest.approx(body.placement.rotation(), abs=1e-14)
    assert twice.placement.move_mm == pytest.approx(body.placement.move_mm)


def test_what_is_round_needs_no_flip() -> None:
    assert isinstance(image(Placed(Sphere(10.0)), "x").shape, Sphere)
    assert isinstance(image(Placed(Twisted.typical()), "x").shape, Flipped)


def test_a_mirrored_parting_plane_faces_the_mirrored_way() -> None:
    shape = Twisted.typical()
    found, due = Flipped(shape).parting(), shape.parting()
    assert found is not None
    assert found.normal == (due.normal[0], -due.normal[1], due.normal[2])
    assert found.draft_deg == due.draft_deg
