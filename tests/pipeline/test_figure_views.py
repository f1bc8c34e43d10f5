"""Views of figures: densities, the inertia ellipsoid and RG over the sphere, by other routes."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.axes import principal
from pipeline.ball import Ball, build_ball
from pipeline.figure_views import densities, ellipsoid, rg_about, rg_sphere, shade, sphere_mesh
from pipeline.load import load, read_design
from pipeline.palette import rgb
from pipeline.scene import Scene, Surface
from pipeline.shipped import shipped
from pipeline.sphere import rotation_to
from pipeline.weigh import ErrorBound, MassProperties, from_mass, weigh
from pipeline.wish import AS_IT_SUITS, Wish
from shapes.moments import Moments
from tests.pipeline.shots import lightness
from tests.pipeline.sphere_balls import SPHERES
from tests.pipeline.uniform_text import UNIFORM

IN = 25.4
NAMES = ("turnstone", "dunlin")


@cache
def made(name: str) -> Ball:
    return build_ball(load(shipped(name)) if name in NAMES else read_design(UNIFORM))


@cache
def weighed(name: str) -> MassProperties:
    return weigh(made(name))


@cache
def sphere(name: str) -> Scene:
    return rg_sphere(made(name), weighed(name), AS_IT_SUITS)


@cache
def oval(name: str) -> Scene:
    return ellipsoid(made(name), weighed(name), AS_IT_SUITS)


def ways(count: int, seed: int) -> NDArray[np.float64]:
    """Unit vectors, shape (n, 3), drawn by lot."""
    lots = np.random.default_rng(seed).normal(size=(count, 3))
    return np.asarray(lots / np.linalg.norm(lots, axis=1)[:, None])


# RG about an axis


def test_rg_about_an_axis_is_that_of_points_about_it() -> None:
    """Forty points of mass: RG2 is the mean square of their distances from the axis, by weight.

    To the last bits of sums of forty.
    """
    lots = np.random.default_rng(11)
    points, masses = 50.0 * lots.normal(size=(40, 3)), lots.uniform(1.0, 9.0, 40)
    second = np.einsum("n,ni,nj->ij", masses, points, points)
    total = Moments(float(masses.sum()), masses @ points, second)
    found = rg_about(from_mass(total, 108.0, ErrorBound(1e-6, 1e-6)), ways(25, 1))
    away = points - masses @ points / masses.sum()
    due = [
        np.sqrt(masses @ np.linalg.norm(np.cross(away, way), axis=1) ** 2 / masses.sum())
        for way in ways(25, 1)
    ]
    assert found == pytest.approx(due, rel=1e-12)


def test_rg_about_an_axis_is_that_of_the_tensor_turned_onto_it() -> None:
    """The entry for X of the tensor in a frame whose X is the axis: R I R^T; to the last bits."""
    properties = weighed("turnstone")
    due = []
    for way in ways(25, 2):
        aside = np.cross(way, [0.0, 0.0, 1.0])
        aside /= np.linalg.norm(aside)
        frame = np.array([way, aside, np.cross(way, aside)])
        tensor = frame @ properties.inertia_g_mm2 @ frame.T
        due.append(np.sqrt(tensor[0, 0] / properties.mass_g))
    assert rg_about(properties, ways(25, 2)) == pytest.approx(due, rel=1e-12)


# RG over the sphere


def skin(scene: Scene) -> Surface:
    (found,) = (s for s in scene.surfaces if s.finish == "map")
    return found


@pytest.mark.parametrize("name", NAMES)
def test_the_deeper_the_colour_the_greater_the_rg(name: str) -> None:
    """L* falls wherever RG rises, over all points of the ball, sorted by their RG.

    Two that differ by a millionth of the spread may be as light as each other.
    """
    body = skin(sphere(name))
    assert body.tints is not None
    rg = rg_about(weighed(name), body.normals)
    order = np.argsort(rg)
    light = lightness(body.tints)[order]
    rises = np.diff(rg[order]) > 1e-6 * np.ptp(rg)
    assert (np.diff(light)[rises] < 0.0).all()


@pytest.mark.parametrize("name", NAMES)
def test_the_colours_run_from_the_least_rg_to_the_greatest(name: str) -> None:
    """The ends of the ramp, at the low and the high axis; to a level of 255."""
    scene, properties = sphere(name), weighed(name)
    body = skin(scene)
    assert body.tints is not None
    assert scene.ramp is not None
    rg = rg_about(properties, body.normals)
    for at, colour in ((rg.argmin(), scene.ramp.colours[0]), (rg.argmax(), scene.ramp.colours[-1])):
        assert body.tints[at] == pytest.approx(rgb(colour), abs=2.0 / 255.0)


@pytest.mark.parametrize("name", NAMES)
def test_contours_are_where_their_rg_is(name: str) -> None:
    """A fifth, two, three and four fifths of the way from low to high; to a millionth of an inch.

    Each point's direction from the ball's centre is the axis; RG is `rg_about`, proven above.
    """
    scene, properties = sphere(name), weighed(name)
    low, high = properties.principal.rg_mm[[0, 2]]
    found = set()
    for thread in scene.threads:
        points = thread.path_mm / np.linalg.norm(thread.path_mm, axis=1)[:, None]
        shares = (rg_about(properties, points) - low) / (high - low)
        share = round(float(shares.mean()), 1)
        off_in = np.abs(shares - share).max() * (high - low) / IN
        found.add(share if off_in < 1e-6 else None)
    assert found == {0.2, 0.4, 0.6, 0.8}


@pytest.mark.parametrize("name", NAMES)
def test_contours_lie_a_hair_over_the_ball(name: str) -> None:
    """So that they are not lost in it: by 0.15 %, as closed curves."""
    for thread in sphere(name).threads:
        away = np.linalg.norm(thread.path_mm, axis=1) / made(name).radius_mm
        assert away == pytest.approx(1.0015, abs=1e-6)
        assert thread.path_mm[0] == pytest.approx(thread.path_mm[-1])


@pytest.mark.parametrize("name", NAMES)
def test_a_contour_s_words_are_the_rg_where_they_point(name: str) -> None:
    """To half of the fourth decimal."""
    named = [label for label in sphere(name).labels if label.key.startswith("contour")]
    assert named
    for label in named:
        way = label.at_mm / np.linalg.norm(label.at_mm)
        rg_in = float(rg_about(weighed(name), way[None])[0]) / IN
        said = float(label.lines[0].removesuffix(" in"))
        assert said == pytest.approx(rg_in, abs=0.51e-4)


@pytest.mark.parametrize("name", NAMES)
def test_a_contour_s_words_point_at_what_is_in_sight(name: str) -> None:
    scene = sphere(name)
    toward = scene.camera.axes()[2]
    points = [label.at_mm for label in scene.labels if label.key.startswith("contour")]
    assert min(float(point @ toward) for point in points) > 0.0


def test_the_ends_of_the_ramp_are_the_low_and_the_high_rg() -> None:
    scene = sphere("turnstone")
    assert scene.ramp is not None
    low, _, high = weighed("turnstone").principal.rg_mm / IN
    assert scene.ramp.ends == (f"{low:.3f} in", f"{high:.3f} in")


def test_a_ball_without_an_axis_has_one_colour_and_no_contour() -> None:
    scene = sphere("plain")
    tints = skin(scene).tints
    assert tints is not None
    assert (len(scene.threads), scene.ramp, float(np.ptp(tints, axis=0).max())) == (0, None, 0.0)


# The inertia ellipsoid


def half_axes(name: str) -> NDArray[np.float64]:
    """As drawn: how far its points come along numpy's eigenvectors, low RG first, mm."""
    properties = weighed(name)
    _, axes = np.linalg.eigh(properties.inertia_g_mm2)
    points = oval(name).surfaces[0].points_mm - properties.centre_of_gravity_mm
    return np.asarray(np.abs(points @ axes).max(axis=0))


def times(scene: Scene) -> float:
    """How many times as large differences are drawn, as the picture says."""
    said = re.search(r"drawn ([\d.e+]+) times as large", scene.notes[0])
    assert said, scene.notes[0]
    return float(said[1])


@pytest.mark.parametrize("name", NAMES)
def test_half_axes_are_as_much_shorter_as_the_picture_says(name: str) -> None:
    """Lengths go as 1 / RG; what one falls short of the longest is drawn so many times as large.

    To a thousandth: the mesh has its points 1.5 deg apart, so that one lies within half of that of
    an axis, and falls short of it by 1 - cos(1.1 deg) = 0.0002.
    """
    rgs = weighed(name).principal.rg_mm
    due = 1.0 - times(oval(name)) * (1.0 - rgs[0] / rgs)
    assert half_axes(name) / half_axes(name)[0] == pytest.approx(due, abs=1e-3)


def test_the_longest_half_axis_is_the_low_one() -> None:
    low, middle, high = half_axes("turnstone")
    assert low > middle > high


@pytest.mark.parametrize("name", NAMES)
def test_its_shape_can_be_seen(name: str) -> None:
    """The shortest half axis is a fifth to two fifths shorter than the longest."""
    assert 0.6 < half_axes(name)[2] / half_axes(name)[0] < 0.8


def test_its_points_lie_on_an_ellipsoid() -> None:
    """Sum of (x / a)2 is 1 in the frame of its axes; a from the picture's own words."""
    properties, scene = weighed("turnstone"), oval("turnstone")
    rgs = properties.principal.rg_mm
    half = 0.62 * made("turnstone").radius_mm * (1.0 - times(scene) * (1.0 - rgs[0] / rgs))
    _, axes = np.linalg.eigh(properties.inertia_g_mm2)
    own = (scene.surfaces[0].points_mm - properties.centre_of_gravity_mm) @ axes
    assert ((own / half) ** 2).sum(axis=1) == pytest.approx(1.0, abs=1e-9)


def test_its_normals_stand_square_to_it() -> None:
    """To the edges of its triangles, within what a chord of 1.5 deg leaves: sin 1.6 deg."""
    body = oval("turnstone").surfaces[0]
    a, b, _ = (body.points_mm[body.triangles[:, k]] for k in range(3))
    edge = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]
    lean = np.abs(np.einsum("ni,ni->n", edge, body.normals[body.triangles[:, 0]]))
    assert lean.max() < np.sin(np.radians(1.6))


def test_the_same_rg_about_every_axis_makes_a_sphere_and_says_so() -> None:
    scene = oval("plain")
    away = np.linalg.norm(scene.surfaces[0].points_mm, axis=1)
    assert "it is round" in scene.notes[0]
    assert float(np.ptp(away)) < 1e-9


def test_a_right_handed_ellipsoid_shows_its_outside() -> None:
    """Triangles run counter-clockwise seen from outside: the volume they enclose is positive."""
    body = oval("turnstone").surfaces[0]
    middle = body.points_mm - weighed("turnstone").centre_of_gravity_mm
    a, b, c = (middle[body.triangles[:, k]] for k in range(3))
    assert float(np.einsum("ni,ni->", a, np.cross(b, c))) > 0.0


@pytest.mark.parametrize("seed", range(4))
def test_an_ellipsoid_shows_its_outside_however_the_axes_lie(seed: int) -> None:
    """Eigenvectors of a tensor may come left-handed; the frame made of them must not be."""
    properties = weighed("turnstone")
    first, second = ways(2, seed)
    turn = rotation_to(np.eye(3)[0], np.eye(3)[1], first, second)
    tensor = turn @ properties.inertia_g_mm2 @ turn.T
    turned = replace(
        properties, inertia_g_mm2=tensor, principal=principal(tensor, properties.mass_g, 1e-6)
    )
    body = ellipsoid(made("turnstone"), turned, AS_IT_SUITS).surfaces[0]
    middle = body.points_mm - turned.centre_of_gravity_mm
    a, b, c = (middle[body.triangles[:, k]] for k in range(3))
    assert float(np.einsum("ni,ni->", a, np.cross(b, c))) > 0.0


# Colours and meshes


def test_shades_fall_in_lightness() -> None:
    """L* falls strictly from share to share, over a thousand."""
    assert (np.diff(lightness(shade(np.linspace(0.0, 1.0, 1001)))) < 0.0).all()


def test_shades_beyond_the_ends_are_the_ends() -> None:
    assert np.array_equal(shade(np.array([-1.0, 2.0])), shade(np.array([0.0, 1.0])))


def test_a_sphere_s_mesh_is_closed_and_round() -> None:
    """Its volume is 4/3 pi less what chords of 1.5 deg cut off: a share of 0.0004 (worked out)."""
    points, triangles = sphere_mesh()
    a, b, c = (points[triangles[:, k]] for k in range(3))
    volume = float(np.einsum("ni,ni->", a, np.cross(b, c))) / 6.0
    assert volume == pytest.approx(4.0 / 3.0 * np.pi, rel=5e-4)


# Densities


@cache
def layered() -> tuple[Ball, Scene]:
    ball = build_ball(read_design(SPHERES))
    return ball, densities(ball, weigh(ball), Wish(faces="plain"))


def test_the_denser_the_darker() -> None:
    """The parts by their densities have falling L*."""
    ball, scene = layered()
    light = {
        s.part: float(lightness(np.array([rgb(s.colour)]))[0])
        for s in scene.surfaces
        if s.finish == "cut"
    }
    rising = sorted(light, key=lambda k: ball.parts[k].density_g_cm3)
    assert (np.diff([light[k] for k in rising]) < 0.0).all()


def test_every_part_is_labelled_with_its_density() -> None:
    ball, scene = layered()
    due = [(part.name, f"{part.density_g_cm3:.3f} g/cm\u00b3") for part in ball.parts]
    assert [label.lines for label in scene.labels] == due


def test_a_density_s_label_points_into_its_part() -> None:
    """A little behind the cut face, so that no rounding decides."""
    ball, scene = layered()
    toward = scene.camera.axes()[2]
    for k, label in enumerate(scene.labels):
        behind = (label.at_mm - 0.01 * toward)[None]
        owner = next(j for j, body in enumerate(ball.bodies) if body.contains(behind)[0])
        assert owner == k


def test_the_ramp_of_densities_has_their_ends() -> None:
    ball, scene = layered()
    assert scene.ramp is not None
    found = sorted(part.density_g_cm3 for part in ball.parts)
    assert scene.ramp.ends == (f"{found[0]:.3f}", f"{found[-1]:.3f}")


def test_one_density_has_no_ramp() -> None:
    ball = made("plain")
    assert densities(ball, weigh(ball), AS_IT_SUITS).ramp is None


def test_a_part_that_the_section_does_not_meet_is_not_pointed_at_on_another() -> None:
    """A bead of 0.6 in well behind the section: no label of it lies over another part's face."""
    text = SPHERES.replace(
        "move: [0, 0, 1.0]}",
        "move: [0, 0, 1.0]}\n  - {name: bead, material: heavy, shape: sphere, diameter: 0.6, "
        "move: [0.3, 1.5, 0.2]}",
    )
    ball = build_ball(read_design(text))
    scene = densities(ball, weigh(ball), Wish(faces="plain"))
    hidden = [entry.name for entry in scene.legend if not entry.seen]
    assert hidden == ["bead"]
    assert "bead" not in [label.lines[0] for label in scene.labels]
