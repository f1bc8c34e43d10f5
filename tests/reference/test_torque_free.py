"""The flare of a ball against the torque-free top: closed forms, elliptic functions, a simulator.

Landau & Lifshitz, Mechanics, sections 33 and 37 (from memory): the symmetrical top, whose axis of
rotation goes round the axis of symmetry at (I3 - I1) / I1 w3, and the asymmetrical one in Jacobi's
functions.  MuJoCo: a free rigid body, its tensor given whole, stepped in time.
"""

from __future__ import annotations

from math import asin, asinh, cos, pi, radians, sin, sqrt

import mujoco
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation
from scipy.special import ellipj

from pipeline.flare import first_steps_mm, spun
from tests.reference.gaps import Seen

MM_PER_IN = 25.4
MASS = 6800.0
RADIUS = 27.0 / (2.0 * pi) * MM_PER_IN  # 27 in round
Array = np.ndarray


def symmetric_step_mm(radius: float, I_axis: float, I_transverse: float, angle: float) -> float:
    """|w| is constant, so a revolution turns w about the axis by 2 pi (I3 - I1) / I1 cos(angle)."""
    about = 2.0 * pi * (I_axis - I_transverse) / I_transverse * cos(angle)
    return 2.0 * radius * asin(abs(sin(angle) * sin(about / 2.0)))


def tensor(rgs_in: tuple[float, float, float], frame: Array) -> Array:
    return MASS * frame @ np.diag(np.square(np.array(rgs_in) * MM_PER_IN)) @ frame.T


def turned(seed: int) -> Array:
    return Rotation.random(rng=np.random.default_rng(seed)).as_matrix()


# By hand: 27 in x (1 - 2.50^2 / 2.55^2) sin cos, to three places; of first order in the
# differential, so at most 0.0007 in too long.
@pytest.mark.parametrize(
    ("degrees", "step_in"),
    [(0, 0.0), (15, 0.262), (30, 0.454), (45, 0.524), (60, 0.454), (75, 0.262), (90, 0.0)],
)
def test_worked_by_hand(degrees: float, step_in: float) -> None:
    """RG 2.50 in about the pin, 2.55 in across it."""
    frame, angle = turned(1), radians(degrees)
    axis = frame @ np.array([sin(angle), 0.0, cos(angle)])
    found = spun(tensor((2.55, 2.55, 2.50), frame), MASS, axis, RADIUS, 1).first_step_mm
    assert found / MM_PER_IN == pytest.approx(step_in, abs=1e-3)


@pytest.mark.parametrize("rgs_in", [(2.55, 2.55, 2.50), (2.50, 2.50, 2.56), (2.5, 2.5, 1.2)])
def test_symmetrical_top_in_closed_form(rgs_in: tuple[float, float, float], seen: Seen) -> None:
    """Every step, and every axis point: it turns right-handed about the axis if I3 is the greater.

    The last has a differential that no ball has.
    """
    transverse, axial = rgs_in[0] ** 2, rgs_in[2] ** 2
    frame = turned(2)
    for angle in np.linspace(0.0, pi, 13):
        axis = np.array([0.0, sin(angle), cos(angle)])
        flare = spun(tensor(rgs_in, frame), MASS, frame @ axis, RADIUS, 5)
        step = symmetric_step_mm(RADIUS, axial, transverse, angle)
        about = 2.0 * pi * (axial - transverse) / transverse * cos(angle)
        due = Rotation.from_rotvec(np.outer(np.arange(6) * about, [0.0, 0.0, 1.0])).apply(axis)
        error = np.abs(flare.axis_points_mm - RADIUS * due @ frame.T).max() / MM_PER_IN
        assert seen("axis of a symmetrical top, closed form, in", error) <= 1e-9
        assert flare.steps_mm == pytest.approx([step] * 5, abs=1e-7)


def test_symmetrical_tops_at_once_in_closed_form() -> None:
    g = np.random.default_rng(3)
    frames = Rotation.random(200, rng=g).as_matrix()
    rgs = g.uniform(2.45, 2.65, (200, 2))
    angles = g.uniform(0.0, pi, 200)
    found = first_steps_mm(
        np.array([tensor((a, a, b), f) for (a, b), f in zip(rgs, frames, strict=True)]),
        np.array([f @ [sin(t), 0.0, cos(t)] for t, f in zip(angles, frames, strict=True)]),
        RADIUS,
    )
    due = [symmetric_step_mm(RADIUS, b**2, a**2, t) for (a, b), t in zip(rgs, angles, strict=True)]
    assert found == pytest.approx(due, abs=1e-6 * MM_PER_IN)


def jacobi_axis(rising: tuple[float, float, float], start: Array, times: Array) -> Array:
    """Rotation of an asymmetrical top at times, rising I, as in section 37 of the book.

    It starts where w2 = 0, with w1 and w3 above zero.  For L^2 < 2 E I2 the book has 1 and 3 trade
    places.
    """
    energy2, L2 = float(start**2 @ np.array(rising)), float(start**2 @ np.square(rising))
    swap = energy2 * rising[1] > L2
    I1, I2, I3 = rising[::-1] if swap else rising
    low, high = energy2 * I3 - L2, L2 - energy2 * I1
    rate = sqrt((I3 - I2) * high / (I1 * I2 * I3))
    sn, cn, dn, _ = ellipj(rate * times, (I2 - I1) * low / ((I3 - I2) * high))
    w1 = sqrt(low / (I1 * (I3 - I1))) * cn
    w2 = sqrt(low / (I2 * (I3 - I2))) * sn
    w3 = sqrt(high / (I3 * (I3 - I1))) * dn
    return np.stack([w3, w2, w1] if swap else [w1, w2, w3], axis=-1)


# degrees of the axis from the low-RG axis; the cone goes round that axis, then round the high one
@pytest.mark.parametrize("degrees", [5.0, 25.0, 40.0, 50.0, 65.0, 85.0])
@pytest.mark.parametrize("rgs_in", [(2.48, 2.51, 2.54), (1.6, 2.3, 2.6)])
def test_asymmetrical_top_in_elliptic_functions(
    rgs_in: tuple[float, float, float], degrees: float, seen: Seen
) -> None:
    a, b, c = np.square(rgs_in)
    angle = radians(degrees)
    start = np.array([cos(angle), 0.0, sin(angle)])

    def speed(time: float) -> float:
        return float(np.linalg.norm(jacobi_axis((a, b, c), start, np.array(time))))

    times = [0.0]
    for _ in range(4):
        since = times[-1]
        after = brentq(
            lambda t, since=since: quad(speed, since, t, epsabs=1e-12)[0] - 2.0 * pi,
            since + pi,
            since + 4.0 * pi,
            xtol=1e-13,
        )
        times.append(after)
    w = jacobi_axis((a, b, c), start, np.array(times))
    due = w / np.linalg.norm(w, axis=1, keepdims=True)
    frame = turned(4)
    flare = spun(tensor(rgs_in, frame), MASS, frame @ start, RADIUS, 4)
    error = np.abs(flare.axis_points_mm / RADIUS - due @ frame.T).max() * RADIUS / MM_PER_IN
    assert seen("axis of an asymmetrical top, elliptic functions, in", error) <= 1e-8
    speeds = np.linalg.norm(w, axis=1)
    assert flare.speed_share[::72] == pytest.approx(speeds / speeds[0], rel=1e-10)


def simulated_axis(inertia: Array, axis: Array, revolutions: int, step: float) -> Array:
    """Unit axis after each revolution, in the body frame, of a free body stepped by MuJoCo."""
    spec = mujoco.MjSpec()
    spec.option.gravity = [0.0, 0.0, 0.0]
    spec.option.timestep = step
    spec.option.integrator = mujoco.mjtIntegrator.mjINT_RK4
    i = inertia / np.trace(inertia)
    body = spec.worldbody.add_body(
        mass=1.0,
        ipos=[0.0, 0.0, 0.0],
        fullinertia=[i[0, 0], i[1, 1], i[2, 2], i[0, 1], i[0, 2], i[1, 2]],
        explicitinertial=True,
    )
    body.add_freejoint()
    model = spec.compile()
    data = mujoco.MjData(model)
    data.qvel[3:6] = axis  # of a free joint these are in the body frame
    w = [np.array(axis)]
    while len(w) * step < 2.0 * pi * (revolutions + 1):
        mujoco.mj_step(model, data)
        w.append(data.qvel[3:6].copy())
    path, times = CubicSpline(np.arange(len(w)) * step, w), np.arange(len(w)) * step
    turn = CubicSpline(times, np.linalg.norm(w, axis=1)).antiderivative()
    whole = [float(turn.solve(2.0 * pi * k, extrapolate=False)[0]) for k in range(revolutions + 1)]
    found = path(whole)
    return np.asarray(found / np.linalg.norm(found, axis=1, keepdims=True))


@pytest.mark.parametrize("seed", [5, 6, 7])
def test_free_body_in_a_simulator(seed: int, seen: Seen) -> None:
    """Which way the axis goes, too, in a frame that is not the principal one."""
    inertia = tensor((2.47, 2.50, 2.55), turned(seed))
    axis = turned(seed + 10)[0]
    flare = spun(inertia, MASS, axis, RADIUS, 4)
    due = simulated_axis(inertia, axis, 4, 0.02)
    error = np.abs(flare.axis_points_mm - RADIUS * due).max() / MM_PER_IN
    assert seen("axis of a free body, MuJoCo, in", error) <= 1e-6
    assert flare.steps_mm.min() > 1e-2 * MM_PER_IN


def test_about_the_intermediate_axis_a_ball_turns_over(seen: Seen) -> None:
    """Let go d off that axis it leaves as d cosh(rate s), for small d.

    Linear about the axis, w2 = 1: I1 dw1 = (I2 - I3) w3 and I3 dw3 = (I1 - I2) w1.  So rate^2 is
    (I2 - I1)(I3 - I2) / (I1 I3), and from w1 = d alone w1 goes as cosh and w3 as minus
    sqrt(I1 (I2 - I1) / (I3 (I3 - I2))) sinh.
    """
    a, b, c = np.square((2.40, 2.50, 2.60))
    off = 1e-6
    flare = spun(tensor((2.40, 2.50, 2.60), np.eye(3)), MASS, np.array([off, 1.0, 0.0]), RADIUS, 12)
    rate = sqrt((b - a) * (c - b) / (a * c))
    share = sqrt(a * (b - a) / (c * (c - b)))
    s = 2.0 * pi * 12
    due = off * np.array([np.cosh(rate * s), -share * np.sinh(rate * s)])
    found = flare.axis_points_mm[-1, [0, 2]] / RADIUS
    assert rate * s > asinh(100.0)
    assert seen("growth about the intermediate axis, share", np.abs(found / due - 1.0).max()) < 1e-5
