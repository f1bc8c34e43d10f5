"""How the axis of a spinning ball wanders over its surface: flare, explained without friction.

A ball is let go turning about an axis; where that axis leaves the surface is its axis point.  Free
of torque, Euler's equations I dw/dt = (I w) x w hold in the ball frame (Landau & Lifshitz,
Mechanics, section 36).  The axis moves through the ball, each revolution touches down on another
track ring, and the rings fan out.  Energy and angular momentum stay as they were, so the RG about
the axis stays as it was but for the square of the differential over RG: for I = I0 (1 + e d) the RG
falls, to leading order, by the share e^2/2 of what |d n|^2 - (n.d n)^2 of the axis n has risen.

Frame: the ball frame; tensors in g mm2, shape (3, 3), about the centre of gravity, products
negated.  An axis is a unit vector, shape (3,), by the right-hand rule: it points to the end from
which the ball is seen to turn counterclockwise.  Of a ball that is seen to turn clockwise about its
axis point give the other end, and negate what comes back.

Only the direction of w moves the axis point, so the turn s = integral of |w| dt stands in for the
time: a revolution is a turn of 2 pi in the ball frame, whole ones lie at s = 2 pi k.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.axes import LEVEL, SPLIT_IN
from pipeline.units import MM_PER_IN
from shapes.moments import Array

EXPLANATION = (
    "The flare step explains how the core moves the axis of a ball that turns freely: friction "
    "with the lane is left out, so it does not predict the flare of a ball that is thrown."
)
# A quarter turn and an axis tilt of 15 degrees, which raises the axis point; 0 to 25 are usual.
TRACK_RAD = np.radians(105.0)
_PATH_POINTS = 72  # a revolution
_RING_POINTS = 180
_FIXED_STEPS = 256  # of Runge-Kutta's fourth order in the first revolution


@dataclass(frozen=True, eq=False)
class Flare:
    """Where the axis of a ball goes while it turns free of torque, in the ball frame.

    Attributes:
        steps_mm: shape (r,), along the surface between the axis points of successive revolutions.
        axis_points_mm: shape (r + 1, 3), the axis point at release and after each revolution.
        path_mm: shape (n, 3), the axis point all along, at even shares of the turn.
        rg_mm: shape (n,), about the axis all along.
        speed_share: shape (n,), |w| as a share of that at release.
        rings_mm: shape (r, k, 3), the track ring about the axis at the start of each revolution,
            closed: the last point is the first.
        radius_mm: of the ball.
        track_rad: angular radius of a ring, seen from its axis point.
    """

    steps_mm: Array
    axis_points_mm: Array
    path_mm: Array
    rg_mm: Array
    speed_share: Array
    rings_mm: Array
    radius_mm: float
    track_rad: float

    @property
    def first_step_mm(self) -> float:
        """The flare index: how far the first revolution moves the axis point."""
        return float(self.steps_mm[0])

    @property
    def ring_spread_mm(self) -> float:
        """The widest distance along the surface from a point of the last ring to the first ring."""
        apart = float(_angles(self.axis_points_mm[0], self.axis_points_mm[-2]))
        whole = 2.0 * np.pi - self.track_rad - apart
        seen = np.array([abs(self.track_rad - apart), min(self.track_rad + apart, whole)])
        return float(self.radius_mm * np.abs(seen - self.track_rad).max())


def spun(
    inertia_g_mm2: Array,
    mass_g: float,
    axis: Array,
    radius_mm: float,
    revolutions: int = 8,
    track_rad: float = TRACK_RAD,
) -> Flare:
    """The flare of a ball let go turning about an axis, over whole revolutions, at least one.

    Integrated by SciPy's DOP853 to 1e-12; a spherical tensor moves the axis by rounding at most.

    >>> ball = 6800.0 * np.diag([64.8, 64.8, 63.5]) ** 2
    >>> flare = spun(ball, 6800.0, np.array([0.6, 0.0, 0.8]), 109.0)
    >>> round(flare.first_step_mm, 6), flare.steps_mm.shape, flare.rings_mm.shape
    (13.043831, (8,), (8, 181, 3))
    """
    from scipy.integrate import solve_ivp

    couplings, axes = _couplings(inertia_g_mm2)
    turn = np.linspace(0.0, 2.0 * np.pi * revolutions, revolutions * _PATH_POINTS + 1)
    solved = solve_ivp(
        lambda _, w: _rate(couplings, w),
        (0.0, turn[-1]),
        axis @ axes,
        method="DOP853",
        t_eval=turn,
        rtol=1e-12,
        atol=1e-14,
    )
    speed = np.linalg.norm(solved.y, axis=0)
    path = (axes @ (solved.y / speed)).T
    square = np.einsum("ni,ij,nj->n", path, inertia_g_mm2, path) / mass_g
    points = path[::_PATH_POINTS]
    return Flare(
        radius_mm * _angles(points[:-1], points[1:]),
        radius_mm * points,
        radius_mm * path,
        np.sqrt(square),
        speed / speed[0],
        radius_mm * _rings(points[:-1], track_rad),
        radius_mm,
        track_rad,
    )


def first_steps_mm(inertias_g_mm2: Array, axes: Array, radius_mm: float) -> Array:
    """The first step of many balls at once, as `spun` gives it, to 1e-6 in.

    Args:
        inertias_g_mm2: shape (n, 3, 3).
        axes: shape (n, 3), the axis of each at release.
        radius_mm: of every ball.

    Returns:
        Shape (n,).
    """
    couplings, frames = _couplings(inertias_g_mm2)
    start = np.einsum("ni,nij->nj", axes, frames)
    w, h = start, 2.0 * np.pi / _FIXED_STEPS
    for _ in range(_FIXED_STEPS):
        a = _rate(couplings, w)
        b = _rate(couplings, w + h / 2.0 * a)
        c = _rate(couplings, w + h / 2.0 * b)
        d = _rate(couplings, w + h * c)
        w = w + h / 6.0 * (a + 2.0 * b + 2.0 * c + d)
    return radius_mm * _angles(start, w)


def constant_rg(
    inertia_g_mm2: Array, mass_g: float, axis: Array, radius_mm: float, points: int = 720
) -> tuple[Array, ...]:
    """Where on the surface the RG is that about an axis: the sphere cut by the cone n.I n = c.

    Seen along the principal axis that the cone goes round, the curve is an ellipse, which gives it
    in closed form.  RGs nearer than `SPLIT_IN` are taken for their mean.

    Returns:
        Closed curves, shape (points + 1, 3), mm, the last point the first: two, mirrored in the
        ball's centre, that through the axis first and starting there; one if it is an equator; none
        if all RGs are one.  Round a principal axis itself the curve is that point, over and over;
        through an intermediate axis both go round the high axis and meet on it.
    """
    values, axes = _frame(inertia_g_mm2)
    values = _split(values, mass_g)
    if values[2] == values[0]:
        return ()
    along = axis @ axes
    lean = (values[1] - values[0]) * along[0] ** 2 - (values[2] - values[1]) * along[2] ** 2
    pole = 0 if lean > 0.0 or values[1] == values[2] else 2
    near, far = abs(values[1] - values[pole]), abs(values[2 - pole] - values[1])
    both = near + far
    p, m, f = along[[pole, 1, 2 - pole]] ** 2
    # half axes of the ellipse, squared, and what they leave of 1, without cancellation
    middle, outer = m + f * both / near, f + m * near / both
    left_middle, left_outer = abs(lean) / near, p + m * far / both
    begin = np.arctan2(along[2 - pole] * np.sqrt(middle), along[1] * np.sqrt(outer))
    t = begin + np.linspace(0.0, 2.0 * np.pi, points + 1)
    curve = np.empty((points + 1, 3))
    curve[:, 1] = np.sqrt(middle) * np.cos(t)
    curve[:, 2 - pole] = np.sqrt(outer) * np.sin(t)
    rise = np.sqrt(left_middle * np.cos(t) ** 2 + left_outer * np.sin(t) ** 2)
    curve[:, pole] = np.copysign(rise, along[pole])
    curve[-1] = curve[0]
    found: Array = radius_mm * curve @ axes.T
    return (found,) if rise.max() <= LEVEL else (found, -found)


def _frame(inertia: Array) -> tuple[Array, Array]:
    """Principal moments, rising, and right-handed axes as columns; of one tensor or of many."""
    values, axes = np.linalg.eigh((inertia + np.swapaxes(inertia, -1, -2)) / 2.0)
    return values, axes * np.linalg.det(axes)[..., None, None].round()


def _split(values: Array, mass_g: float) -> Array:
    """Principal moments, rising, with those whose RGs cannot be told apart made one."""
    rg, split = np.sqrt(values / mass_g), SPLIT_IN * MM_PER_IN
    if rg[2] - rg[0] <= split:
        return np.full(3, values.mean())
    if rg[2] - rg[1] <= split:
        return np.array([values[0], *[values[1:].mean()] * 2])
    if rg[1] - rg[0] <= split:
        return np.array([*[values[:2].mean()] * 2, values[2]])
    return values


def _couplings(inertia: Array) -> tuple[Array, Array]:
    """(I2 - I3) / I1 and so round, shape (..., 3), and the principal axes as columns."""
    values, axes = _frame(inertia)
    return (values[..., [1, 2, 0]] - values[..., [2, 0, 1]]) / values, axes


def _rate(couplings: Array, w: Array) -> Array:
    """Change of w in the principal frame for each radian turned, shape (..., 3)."""
    others = w[..., [1, 2, 0]] * w[..., [2, 0, 1]]
    return np.asarray(couplings * others / np.linalg.norm(w, axis=-1, keepdims=True))


def _angles(a: Array, b: Array) -> Array:
    """Angles between vectors, shape (..., 3) to (...), exact for small ones too."""
    across = np.linalg.norm(np.cross(a, b), axis=-1)
    return np.asarray(np.arctan2(across, (a * b).sum(axis=-1)))


def _rings(axes: Array, track_rad: float) -> Array:
    """A closed circle of unit vectors about each axis, shape (r, k, 3), none turned to the next."""
    t = np.linspace(0.0, 2.0 * np.pi, _RING_POINTS + 1)
    t[-1] = 0.0
    last = axes[0]
    side = np.cross(last, np.eye(3)[np.abs(last).argmin()])
    side /= np.linalg.norm(side)
    rings = []
    for axis in axes:
        side = side - (side @ axis) / (1.0 + last @ axis) * (last + axis)  # the least turn
        around = np.outer(np.cos(t), side) + np.outer(np.sin(t), np.cross(axis, side))
        rings.append(np.cos(track_rad) * axis + np.sin(track_rad) * around)
        last = axis
    return np.array(rings)
