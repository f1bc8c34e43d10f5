"""Flare: what is conserved, what is mirrored, how rings lie, and contours of constant RG."""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.flare import EXPLANATION, TRACK_RAD, constant_rg, first_steps_mm, spun

MM_PER_IN = 25.4
MASS, RADIUS = 6800.0, 109.0
BALLS = [(62.5, 63.6, 64.9), (63.0, 64.4, 64.4), (63.0, 63.0, 64.5), (40.0, 62.0, 66.0)]
Array = np.ndarray


def tensor(rgs: tuple[float, float, float], frame: Array) -> Array:
    return MASS * frame @ np.diag(np.square(rgs)) @ frame.T


def frames(count: int, seed: int) -> Array:
    return np.asarray(Rotation.random(count, rng=np.random.default_rng(seed)).as_matrix())


def rg(inertia: Array, axes: Array) -> Array:
    """Of directions of any length, shape (n, 3)."""
    square = np.einsum("ni,ij,nj->n", axes, inertia, axes) / (axes**2).sum(axis=1)
    return np.sqrt(square / MASS)


def along_surface(a: Array, b: Array) -> Array:
    """By the chord, a third way to a great circle."""
    return 2.0 * RADIUS * np.arcsin(np.linalg.norm(a - b, axis=-1) / (2.0 * RADIUS))


@pytest.mark.parametrize("rgs", BALLS)
def test_energy_and_angular_momentum_stay(rgs: tuple[float, float, float]) -> None:
    for frame, turn in zip(frames(4, 1), frames(4, 2), strict=True):
        inertia = tensor(rgs, frame)
        flare = spun(inertia, MASS, turn[0], RADIUS)
        w = flare.path_mm / RADIUS * flare.speed_share[:, None]
        energy, momentum = (
            np.einsum("ni,ij,nj->n", w, inertia, w),
            np.linalg.norm(w @ inertia, axis=1),
        )
        assert np.abs(energy / energy[0] - 1.0).max() < 1e-10
        assert np.abs(momentum / momentum[0] - 1.0).max() < 1e-10
        assert flare.rg_mm == pytest.approx(rg(inertia, flare.path_mm), rel=1e-13)


def test_the_path_joins_the_axis_points() -> None:
    flare = spun(tensor(BALLS[0], frames(1, 3)[0]), MASS, np.array([0.6, 0.0, 0.8]), RADIUS, 5)
    assert flare.axis_points_mm[0] == pytest.approx([0.6 * RADIUS, 0.0, 0.8 * RADIUS])
    assert np.linalg.norm(flare.path_mm, axis=1) == pytest.approx(RADIUS, rel=1e-14)
    assert flare.axis_points_mm.shape == (6, 3)
    assert (flare.path_mm[:: (len(flare.path_mm) - 1) // 5] == flare.axis_points_mm).all()
    due = along_surface(flare.axis_points_mm[1:], flare.axis_points_mm[:-1])
    assert flare.steps_mm == pytest.approx(due, rel=1e-9)
    assert flare.first_step_mm == flare.steps_mm[0] > 1.0


def test_more_revolutions_only_go_on() -> None:
    inertia, axis = tensor(BALLS[3], frames(1, 4)[0]), np.array([0.0, 0.6, 0.8])
    few, more = (spun(inertia, MASS, axis, RADIUS, count) for count in (3, 7))
    assert more.axis_points_mm[:4] == pytest.approx(few.axis_points_mm, abs=1e-8)


def test_mass_size_and_length_of_the_axis_do_not_move_it() -> None:
    inertia, axis = tensor(BALLS[0], frames(1, 5)[0]), np.array([0.0, 0.6, 0.8])
    one, other = (
        spun(inertia, MASS, axis, RADIUS),
        spun(inertia * 1e3, MASS * 1e3, axis, 2 * RADIUS),
    )
    assert other.steps_mm == pytest.approx(2.0 * one.steps_mm, rel=1e-11)
    assert other.rg_mm == pytest.approx(one.rg_mm, rel=1e-13)


@pytest.mark.parametrize("frame", [np.eye(3), frames(1, 6)[0]])
def test_equal_rgs_do_not_flare(frame: Array) -> None:
    inertia = tensor((64.0, 64.0, 64.0), frame)
    axis = np.array([0.6, 0.0, 0.8])
    assert spun(inertia, MASS, axis, RADIUS).steps_mm == pytest.approx(np.zeros(8), abs=1e-10)
    assert first_steps_mm(inertia[None], axis[None], RADIUS) == pytest.approx([0.0], abs=1e-10)
    assert constant_rg(inertia, MASS, axis, RADIUS) == ()


def test_principal_axes_do_not_flare_nor_nearly_intermediate_ones_fail() -> None:
    frame = frames(1, 7)[0]
    inertia = tensor(BALLS[0], frame)
    for axis in frame.T:
        assert spun(inertia, MASS, axis, RADIUS).steps_mm.max() < 1e-9
    for off in (1e-15, 1e-12, 1e-9, 1e-6, 1e-3):
        axis = frame @ np.array([off, 1.0, 0.0])
        flare = spun(inertia, MASS, axis, RADIUS, 40)
        assert np.isfinite(flare.path_mm).all()
        assert np.ptp(flare.rg_mm) / RADIUS < 1e-3
    assert flare.steps_mm.max() > 10.0 * flare.first_step_mm  # the last leaves, and turns over


def test_rg_varies_as_the_square_of_the_differential() -> None:
    """For I = I0 (1 + e d): |L|^2 |w|^2 - (2 T)^2 = |I w x w|^2, and n.I n = 2 T / |w|^2.

    So n.I n falls by the share e^2 of what v = |d n|^2 - (n.d n)^2 rises along the path.  At half
    of e the axis covers the same path in twice the revolutions.
    """
    d = np.diag([-1.0, 0.2, 0.8])
    axis = np.array([0.6, 0.48, 0.64])
    varied = []
    for e, revolutions in ((0.02, 10), (0.01, 20), (0.005, 40)):
        flare = spun(MASS * 64.0**2 * (np.eye(3) + e * d), MASS, axis, RADIUS, revolutions)
        n = flare.path_mm / RADIUS
        v = ((n @ d) ** 2).sum(axis=1) - np.einsum("ni,ij,nj->n", n, d, n) ** 2
        varied.append(np.ptp(flare.rg_mm) / flare.rg_mm[0])
        assert varied[-1] == pytest.approx(e**2 / 2.0 * np.ptp(v), rel=2.0 * e)
        fall = 1.0 - flare.rg_mm / flare.rg_mm[0]
        assert fall == pytest.approx(e**2 / 2.0 * (v - v[0]), abs=2.0 * e * varied[-1])
    assert varied[0] / varied[1] == pytest.approx(4.0, rel=0.03)
    assert varied[1] / varied[2] == pytest.approx(4.0, rel=0.015)
    assert varied[0] > 1e-5


def test_a_mirrored_ball_does_the_mirrored_thing() -> None:
    """Spin is a pseudovector: mirrored in x = 0 it is minus the mirrored arrow.

    So the other end of its axis goes the mirrored way; let go about the mirrored arrow itself, the
    ball turns the other way round and its axis goes back where it would have come from.
    """
    mirror = np.diag([-1.0, 1.0, 1.0])
    inertia = tensor(BALLS[0], frames(1, 8)[0])
    flare = spun(inertia, MASS, np.array([0.48, 0.6, 0.64]), RADIUS)
    first, last = flare.axis_points_mm[[0, -1]] / RADIUS
    image = mirror @ inertia @ mirror
    along = spun(image, MASS, -mirror @ first, RADIUS)
    assert -along.path_mm @ mirror == pytest.approx(flare.path_mm, abs=1e-9)
    assert along.rg_mm == pytest.approx(flare.rg_mm, rel=1e-12)
    back = spun(image, MASS, mirror @ last, RADIUS)
    assert back.path_mm[::-1] @ mirror == pytest.approx(flare.path_mm, abs=1e-8)
    assert along_surface(first * RADIUS, last * RADIUS) > 10.0


def test_many_first_steps_at_once_are_those_of_each() -> None:
    """Balls, and tops whose tensors no ball has."""
    turns = frames(40, 9)
    inertias = np.array([tensor(BALLS[k % 4], turn) for k, turn in enumerate(turns)])
    axes = frames(40, 10)[:, 0]
    found = first_steps_mm(inertias, axes, RADIUS)
    due = [spun(i, MASS, a, RADIUS, 1).first_step_mm for i, a in zip(inertias, axes, strict=True)]
    assert found == pytest.approx(due, abs=1e-6 * MM_PER_IN)
    assert found.min() > 0.1
    assert first_steps_mm(np.empty((0, 3, 3)), np.empty((0, 3)), RADIUS).shape == (0,)


def test_many_first_steps_are_quick() -> None:
    inertias = np.array([tensor(BALLS[0], turn) for turn in frames(400, 11)])
    axes = np.tile([0.0, 0.6, 0.8], (400, 1))
    least = np.inf
    for _ in range(3):
        begun = perf_counter()
        first_steps_mm(inertias, axes, RADIUS)
        least = min(least, perf_counter() - begun)
    assert least < 0.5


@pytest.mark.parametrize("track", [TRACK_RAD, np.pi / 2, 0.4])
def test_rings_lie_about_their_axis_points(track: float) -> None:
    flare = spun(tensor(BALLS[0], np.eye(3)), MASS, np.array([0.48, 0.6, 0.64]), RADIUS, 6, track)
    assert flare.rings_mm.shape[0] == 6
    assert (flare.rings_mm[:, 0] == flare.rings_mm[:, -1]).all()
    for ring, point in zip(flare.rings_mm, flare.axis_points_mm[:-1], strict=True):
        away = np.arccos(ring @ point / RADIUS**2)
        assert away == pytest.approx(track, abs=1e-9)
        assert np.linalg.norm(ring, axis=1) == pytest.approx(RADIUS)
        sides = np.linalg.norm(np.diff(ring, axis=0), axis=1)
        assert sides == pytest.approx(2.0 * RADIUS * np.sin(track) * np.sin(np.pi / len(sides)))


@pytest.mark.parametrize("track", [TRACK_RAD, 0.1, 1.5])
@pytest.mark.parametrize("rgs", BALLS)
def test_spread_is_the_widest_of_the_last_ring_from_the_first(
    rgs: tuple[float, float, float], track: float
) -> None:
    """Counted on the points of the rings; a symmetrical ball's rings turn about nothing else."""
    flare = spun(tensor(rgs, np.eye(3)), MASS, np.array([0.48, 0.6, 0.64]), RADIUS, 8, track)
    first, last = flare.rings_mm[0, 1:], flare.rings_mm[-1]
    nearest = np.linalg.norm(last[:, None] - first, axis=-1).min(axis=1)
    counted = 2.0 * RADIUS * np.arcsin(nearest.max() / (2.0 * RADIUS))
    assert flare.ring_spread_mm == pytest.approx(counted, rel=0.01)


def test_successive_rings_meet_twice() -> None:
    """Bow ties: in the two points that lie as far from the one axis point as from the other."""
    flare = spun(tensor(BALLS[0], np.eye(3)), MASS, np.array([0.48, 0.6, 0.64]), RADIUS)
    inside = np.array(
        [
            (ring[:-1] @ after / RADIUS**2 > np.cos(TRACK_RAD))
            for ring, after in zip(flare.rings_mm[:-1], flare.axis_points_mm[1:-1], strict=True)
        ]
    )
    assert ((inside != np.roll(inside, 1, axis=1)).sum(axis=1) == 2).all()


@pytest.mark.parametrize("rgs", BALLS)
def test_contours_have_one_rg_and_go_through_the_axis(rgs: tuple[float, float, float]) -> None:
    for frame, turn in zip(frames(6, 12), frames(6, 13), strict=True):
        inertia, axis = tensor(rgs, frame), turn[0]
        curves = constant_rg(inertia, MASS, axis, RADIUS, 360)
        assert len(curves) == 2
        assert curves[0][0] / RADIUS == pytest.approx(axis, abs=1e-9)
        assert (curves[1] == -curves[0]).all()
        for curve in curves:
            assert curve.shape == (361, 3)
            assert (curve[0] == curve[-1]).all()
            assert np.linalg.norm(curve, axis=1) == pytest.approx(RADIUS, rel=1e-12)
            assert rg(inertia, curve) == pytest.approx(rg(inertia, axis[None])[0], rel=1e-12)
            steps = np.linalg.norm(np.diff(curve, axis=0), axis=1)
            assert 0.0 < steps.max() < RADIUS * 4.0 * np.pi / 360.0  # no leap between branches


@pytest.mark.parametrize("pole", [0, 2])
def test_a_contour_near_a_principal_axis_goes_once_round_it(pole: int) -> None:
    frame = frames(1, 14)[0]
    inertia, start = tensor(BALLS[0], frame), np.array([0.0, 1e-4, 0.0])
    start[pole] = 1.0
    start /= np.linalg.norm(start)
    curve = constant_rg(inertia, MASS, frame @ start, RADIUS)[0] / RADIUS @ frame
    assert curve[:, pole].min() > 1.0 - 1e-7
    turned = np.unwrap(np.arctan2(curve[:, 1], curve[:, 2 - pole]))
    assert abs(turned[-1] - turned[0]) == pytest.approx(2.0 * np.pi)
    exact = constant_rg(inertia, MASS, frame[:, pole], RADIUS)
    assert exact[0] == pytest.approx(np.tile(RADIUS * frame[:, pole], (721, 1)), abs=1e-9)


@pytest.mark.parametrize("off", [0.0, 1e-15, -1e-12, 1e-9, -1e-6])
def test_the_separatrix(off: float) -> None:
    """The planes (I2 - I1) x^2 = (I3 - I2) z^2 in the principal frame, and next to them."""
    a, b, c = np.square(BALLS[0])
    inertia = tensor(BALLS[0], np.eye(3))
    for axis in (np.array([off, 1.0, 0.0]), np.array([np.sqrt(c - b), off, np.sqrt(b - a)])):
        axis = axis / np.linalg.norm(axis)
        curves = constant_rg(inertia, MASS, axis, RADIUS)
        assert len(curves) == 2
        assert curves[0][0] / RADIUS == pytest.approx(axis, abs=1e-7)
        for curve in curves:
            x, _, z = np.abs(curve.T / RADIUS)
            assert np.sqrt(b - a) * x == pytest.approx(np.sqrt(c - b) * z, abs=1e-4)
            assert rg(inertia, curve) == pytest.approx(rg(inertia, axis[None])[0], rel=1e-12)


def test_the_separatrix_in_any_frame() -> None:
    for frame in frames(60, 17):
        curves = constant_rg(tensor(BALLS[0], frame), MASS, frame[:, 1], RADIUS, 36)
        assert np.isfinite(curves).all()
        assert curves[0][0] / RADIUS == pytest.approx(frame[:, 1], abs=1e-7)


@pytest.mark.parametrize("frame", [np.eye(3), frames(1, 15)[0]])
@pytest.mark.parametrize(("rgs", "pole"), [(BALLS[1], 0), (BALLS[2], 2)])
def test_a_symmetrical_ball_has_circles_of_latitude_and_one_equator(
    rgs: tuple[float, float, float], pole: int, frame: Array
) -> None:
    inertia = tensor(rgs, frame)
    tilted = np.roll([0.8, 0.6, 0.0], pole)
    for curve in constant_rg(inertia, MASS, frame @ tilted, RADIUS):
        assert np.abs(curve @ frame[:, pole]) == pytest.approx(0.8 * RADIUS)
    curves = constant_rg(inertia, MASS, frame @ np.roll([0.0, 0.6, 0.8], pole), RADIUS)
    assert len(curves) == 1
    assert curves[0] @ frame[:, pole] == pytest.approx(0.0, abs=1e-7)


def test_rgs_within_the_split_are_one_for_a_contour() -> None:
    """Half of the split of 1e-6 in, about which the axes are anyone's guess."""
    hair = 0.5e-6 * MM_PER_IN
    for rgs, pole in (((63.0, 64.4, 64.4 + hair), 0), ((63.0, 63.0 + hair, 64.4), 2)):
        axis = np.roll([0.8, 0.6, 0.0], pole)
        for curve in constant_rg(tensor(rgs, np.eye(3)), MASS, axis, RADIUS):
            assert np.abs(curve[:, pole]) == pytest.approx(0.8 * RADIUS, rel=1e-6)
    near = tensor((63.0, 63.0 + hair / 2, 63.0 + hair), np.eye(3))
    assert constant_rg(near, MASS, np.array([0.6, 0.8, 0.0]), RADIUS) == ()


def test_the_axis_keeps_to_its_contour_to_first_order() -> None:
    """A ball's axis stays on the contour by what the square of its differential allows."""
    inertia = tensor((63.5, 64.2, 64.9), frames(1, 16)[0])
    axis = np.array([0.6, 0.0, 0.8])
    flare = spun(inertia, MASS, axis, RADIUS, 12)
    contours = np.concatenate(constant_rg(inertia, MASS, axis, RADIUS))
    apart = np.linalg.norm(flare.path_mm[:, None] - contours, axis=-1).min(axis=1)
    assert apart.max() < 0.03 * RADIUS
    assert np.linalg.norm(flare.path_mm[-1] - flare.path_mm[0]) > 0.2 * RADIUS


def test_the_explanation_says_what_is_left_out() -> None:
    assert "friction" in EXPLANATION
    assert "not predict" in EXPLANATION
