"""True cuts: areas and volumes in closed form, each shared surface once, nothing lost."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from pipeline.cutaway import Wedge
from pipeline.scene import UPRIGHT, frame_of
from pipeline.shells import CHORD_MM, Shell
from pipeline.sphere import rotation_to
from tests.pipeline.cut_balls import POKES, RADIUS, area, ball, cut_all

TURN = rotation_to(
    np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.6, 0.0, 0.8]),
    np.array([0.1, -0.9, 0.3]),
)  # fmt: skip
TURNED = frame_of(TURN)


def volume(shells: tuple[Shell, ...]) -> float:
    """Of a closed surface, by the divergence theorem."""
    total = 0.0
    for shell in shells:
        a, b, c = (shell.points_mm[shell.triangles[:, k]] for k in range(3))
        total += float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
    return total


@pytest.mark.parametrize("opening", [90.0, 120.0, 180.0])
def test_a_wedge_takes_its_share_of_a_sphere(opening: float) -> None:
    """Volume 4/3 pi R^3 (1 - angle / 360), walls of half a disc each; less what chords cut off."""
    shells = cut_all(ball(), Wedge(-45.0, opening))
    sag = 3.0 * CHORD_MM / RADIUS
    share = 1.0 - opening / 360.0
    assert volume(shells) == pytest.approx(4.0 / 3.0 * pi * RADIUS**3 * share, rel=sag)
    walls = [area(shell) for shell in shells if shell.cut]
    due = pi * RADIUS**2 / 2.0 if opening < 180.0 else pi * RADIUS**2
    assert walls == pytest.approx([due] * (2 if opening < 180.0 else 1), rel=sag)


def test_walls_look_into_the_wedge() -> None:
    wedge = Wedge(30.0, 100.0)
    for shell in cut_all(ball(), wedge):
        if shell.cut:
            middle = shell.points_mm.mean(axis=0)
            assert wedge.contains((middle + shell.normals[0])[None]).all()
            assert not wedge.contains((middle - shell.normals[0])[None]).any()


def test_a_shared_surface_is_drawn_once() -> None:
    """The cover's inner face and the cavity round the core belong to the parts inside them."""
    made = ball(
        "name: core, material: a, shape: ellipsoid, size: [3, 3, 4.6], move: [0.2, 0, 0]",
        "name: outer core, material: b, shape: sphere, diameter: 7",
    )
    skins = {s.part: s for s in cut_all(made, Wedge(-45.0, 120.0), 0) if not s.cut}
    for part, radius in ((1, 3.5 * 25.4), (2, RADIUS)):
        used = skins[part].points_mm[np.unique(skins[part].triangles)]
        assert np.linalg.norm(used, axis=1) == pytest.approx(radius)


def test_a_whole_core_keeps_all_its_surface() -> None:
    made = ball("name: core, material: a, shape: sphere, diameter: 4, move: [0.3, -0.2, 0.1]")
    core = [s for s in cut_all(made, Wedge(-45.0, 120.0), 0) if s.part == 0]
    assert [s.cut for s in core] == [False]
    assert area(core[0]) == pytest.approx(pi * (4 * 25.4) ** 2, rel=0.003)


@pytest.mark.parametrize("opening", [120.0, 180.0])
def test_a_core_that_pokes_through_leaves_no_gap_and_no_double_face(opening: float) -> None:
    """On the plane of a cut every part shows exactly what it claims there."""
    made = ball(*POKES)
    whole = (0,) if opening < 180.0 else ()
    shells = cut_all(made, Wedge(20.0, opening), *whole)
    for shell in shells:
        if not shell.cut:
            continue
        corners = shell.points_mm[shell.triangles]
        sizes = np.linalg.norm(
            np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
        )
        behind = corners.mean(axis=1) - 0.01 * shell.normals[0]
        for k, body in enumerate(made.bodies[: shell.part + 1]):
            share = float((body.contains(behind) * sizes).sum() / sizes.sum())
            assert share == pytest.approx(1.0 if k == shell.part else 0.0, abs=0.002)
    walls = sum(area(s) for s in shells if s.cut)
    if opening == 180.0:
        assert walls == pytest.approx(pi * RADIUS**2, rel=0.002)


def test_a_part_inside_another_is_left_out_until_it_is_cut() -> None:
    made = ball(
        "name: bead, material: a, shape: sphere, diameter: 1",
        "name: core, material: a, shape: sphere, diameter: 4",
    )
    assert {s.part for s in cut_all(made, Wedge(0.0, 120.0), 0, 1)} == {1, 2}
    assert {s.part for s in cut_all(made, Wedge(0.0, 180.0))} == {0, 1, 2}


@pytest.mark.parametrize("opening", [90.0, 180.0])
def test_a_wedge_turns_with_its_frame(opening: float) -> None:
    points = np.random.default_rng(4).normal(size=(500, 3))
    own, turned = Wedge(30.0, opening), Wedge(30.0, opening, TURNED)
    assert (turned.contains(points @ TURN.T) == own.contains(points)).all()


@pytest.mark.parametrize(("opening", "count"), [(90.0, 2), (180.0, 1)])
def test_the_walls_of_a_wedge_turn_with_its_frame(opening: float, count: int) -> None:
    found = Wedge(30.0, opening, TURNED).normals()
    assert found.shape == (count, 3)
    assert found == pytest.approx(Wedge(30.0, opening).normals() @ TURN.T, abs=1e-8)


def test_a_wedge_in_the_upright_frame_is_the_plain_one() -> None:
    assert Wedge(30.0, 90.0, UPRIGHT) == Wedge(30.0, 90.0)


@pytest.mark.parametrize("opening", [120.0, 180.0])
def test_a_wedge_in_a_frame_takes_its_share_of_a_sphere(opening: float) -> None:
    shells = cut_all(ball(), Wedge(-45.0, opening, TURNED))
    share = 1.0 - opening / 360.0
    due = 4.0 / 3.0 * pi * RADIUS**3 * share
    assert volume(shells) == pytest.approx(due, rel=3.0 * CHORD_MM / RADIUS)


def test_walls_in_a_frame_look_into_the_wedge() -> None:
    wedge = Wedge(30.0, 100.0, TURNED)
    walls = [shell for shell in cut_all(ball(), wedge) if shell.cut]
    assert len(walls) == 2
    for wall in walls:
        middle = wall.points_mm.mean(axis=0)
        assert wedge.contains((middle + wall.normals[0])[None]).all()
        assert not wedge.contains((middle - wall.normals[0])[None]).any()
