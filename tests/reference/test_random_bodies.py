"""Every family with parameters and placements drawn at random, each by ways that share no code."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import qmc

from shapes.boundary import moments_of_solid
from shapes.box import Box
from shapes.ellipsoid import Ellipsoid
from shapes.facets import Facets, facets_of
from shapes.moments import Array
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.solid import placed
from tests.reference.drawn_bodies import DRAWN, drawn_body
from tests.reference.gaps import MM_PER_IN, Seen, gaps
from tests.reference.mesh_inertia import layer, mesh_moments

RG_IN, SHARE = 1e-7, 1e-8
DRAWS = [(word, seed) for word in DRAWN for seed in range(25)]


def assert_like_solid(body: Placed, seen: Seen | None = None) -> None:
    built = moments_of_solid(placed(body.shape.solid(), body.placement))
    gap = gaps(built, body.moments())
    if seen:
        word = type(body.shape).__name__.lower()
        seen(f"{word}: own moments and boundary of the solid, in of RG", gap.rg_in)
        seen(f"{word}: own moments and boundary of the solid, share of volume", gap.volume)
    assert gap.rg_in <= RG_IN
    assert gap.volume <= SHARE
    assert gap.centre_in <= RG_IN


@pytest.mark.parametrize(("word", "seed"), DRAWS)
def test_own_moments_and_those_of_the_placed_solid(word: str, seed: int, seen: Seen) -> None:
    assert_like_solid(drawn_body(word, seed), seen)


size = st.floats(5.0, 120.0)
angle = st.floats(-360.0, 360.0)
shift = st.floats(-40.0, 40.0)
places = st.builds(Placement, angle, angle, angle, st.tuples(shift, shift, shift))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.tuples(size, size, size), places)
def test_any_ellipsoid_is_built_as_it_weighs(
    widths: tuple[float, float, float], place: Placement
) -> None:
    assert_like_solid(Placed(Ellipsoid(widths), place))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.tuples(size, size, size), st.floats(0.01, 0.98), places)
def test_any_rounded_box_is_built_as_it_weighs(
    widths: tuple[float, float, float], share: float, place: Placement
) -> None:
    assert_like_solid(Placed(Box(widths, share * min(widths) / 2), place))


def mesh_of(body: Placed, chord_mm: float = 0.05) -> Facets:
    return facets_of(placed(body.shape.solid(), body.placement), chord_mm, 0.1)


@pytest.mark.parametrize(("word", "seed"), [(word, seed) for word in DRAWN for seed in (40, 41)])
def test_mesh_weighs_the_same_within_its_sag(word: str, seed: int, seen: Seen) -> None:
    """MuJoCo's exact mesh inertia against the shape's own moments, about the body's centroid."""
    body = drawn_body(word, seed)
    own, mesh = body.moments(), mesh_of(body)
    found = mesh_moments(mesh)
    held, second = layer(mesh, own.centroid_mm())
    assert abs(found.volume_mm3 - own.volume_mm3) <= held
    centre = -own.centroid_mm()
    apart = found.moved(centre).second_mm5 - own.moved(centre).second_mm5
    assert np.abs(np.linalg.eigvalsh(apart)).max() <= second
    low = np.sqrt(np.linalg.eigvalsh(own.inertia_mm5())[0] / own.volume_mm3)
    bound = (second + low**2 * held) / own.volume_mm3 / (2 * low) / MM_PER_IN
    gap = gaps(found, own)
    assert seen("own moments and mesh of 0.05 mm, share of its bound", gap.rg_in / bound) <= 1.0
    seen("own moments and mesh of 0.05 mm, in of RG", gap.rg_in)


@pytest.mark.parametrize(("word", "seed"), [(word, seed) for word in DRAWN for seed in range(4)])
def test_reach_and_support_touch_the_mesh(word: str, seed: int) -> None:
    """No corner of the mesh lies beyond them, and one comes as near as mesh widths allow."""
    body = drawn_body(word, seed)
    mesh = mesh_of(body)
    corners = mesh.corners_mm
    sides = corners[mesh.triangles] - corners[np.roll(mesh.triangles, 1, axis=1)]
    g = np.random.default_rng(seed)
    lost = mesh.sag_mm + 1e-6
    for point in (np.zeros(3), body.placement.offset(), *g.uniform(-60, 60, (6, 3))):
        farthest = float(np.linalg.norm(corners - point, axis=1).max())
        step = float(np.linalg.norm(sides, axis=2).max()) ** 2 / (8 * farthest)
        assert farthest - 1e-6 <= body.reach_mm(point) <= farthest + lost + min(step, 0.5)
    for normal in (*np.eye(3), *-np.eye(3), *unit(g.normal(size=(6, 3)))):
        highest = float((corners @ normal).max())
        assert highest - 1e-6 <= body.support_mm(normal) <= highest + 2 * lost


@pytest.mark.parametrize("word", DRAWN)
def test_reach_moves_no_farther_than_the_point(word: str) -> None:
    """|reach(p) - reach(q)| <= |p - q|, also beside planes and axes of symmetry.

    Placing a body leaves last bits where zeros are due, and a search leaves odd digits.
    """
    g = np.random.default_rng(11)
    for seed in range(4):
        shape = drawn_body(word, seed).shape
        for kept in ((1, 1, 1), (1, 1, 0), (1, 0, 1), (0, 1, 1), (1, 0, 0), (0, 0, 1), (0, 0, 0)):
            point = g.uniform(-40, 40, 3) * kept
            reach = shape.reach_mm(point)
            for size in 10.0 ** np.arange(-16, 0):
                step = g.uniform(-1, 1, 3) * size
                moved = abs(shape.reach_mm(point + step) - reach)
                assert moved <= np.linalg.norm(step) + 1e-9, (shape, point, step)


def unit(vectors: Array) -> Array:
    return np.asarray(vectors / np.linalg.norm(vectors, axis=1)[:, None])


@pytest.mark.parametrize(("word", "seed"), [(word, seed) for word in DRAWN for seed in range(6)])
def test_points_counted_inside_give_the_volume(word: str, seed: int, seen: Seen) -> None:
    """2^16 points of Sobol's sequence in the body's box: good to about one in a thousand."""
    body = drawn_body(word, seed)
    high = np.array([body.support_mm(n) for n in np.eye(3)])
    low = -np.array([body.support_mm(-n) for n in np.eye(3)])
    points = low + qmc.Sobol(3, rng=seed).random_base2(16) * (high - low)
    inside = body.contains(points)
    due = body.moments()
    share = due.volume_mm3 / float((high - low).prod())
    assert seen("counted points, share of the box", abs(inside.mean() - share)) <= 2e-3
    centre = points[inside].mean(axis=0)
    assert centre == pytest.approx(due.centroid_mm(), abs=0.3)


@pytest.mark.parametrize("word", DRAWN)
def test_points_of_the_surface_lie_on_the_border(word: str) -> None:
    """A hair inside the mesh a point is in the body, a hair outside it is not.

    Slivers have no normal to trust, and a hair beside a sharp rim crosses the face behind it.
    """
    body = drawn_body(word, 3)
    mesh = mesh_of(body)
    corners = mesh.corners_mm[mesh.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(cross, axis=1)
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    fair = area > 0.02 * longest
    middle, normal = corners.mean(axis=1)[fair], cross[fair] / area[fair, None]
    hair = mesh.sag_mm + 1e-3
    assert body.contains(middle - hair * normal).mean() > 0.98
    assert body.contains(middle + hair * normal).mean() < 0.02
