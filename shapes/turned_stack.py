"""Many turned bodies whose half-sections differ in a few numbers, at once.

The curves and their fillets are those of `shapes.turned`, with columns in place of numbers.  That
an outline is free of itself is shown where it rises all the way off the axis, level steps apart:
then it is a graph over height.  Rows of which that cannot be shown are left to the drawing of one
body.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import pi
from typing import Any

import numpy as np

from shapes.curves import Arc, Bezier, Curve, Line
from shapes.fillet import SMOOTH_RAD
from shapes.hull import hull_of
from shapes.moments import Array, Column, Mask
from shapes.outline import AXIS_MM
from shapes.profile import moments_of
from shapes.stack import Stack, masked
from shapes.turned import ArcStep, SplineStep, Turned

Key = tuple[str | int, ...]
Pair = tuple[Column, Column]  # (r, z)
_ROUNDS = 40
_STEP = 1e-6
_LEAST = 1e-5  # mm, or of a parameter: steps that are shorter are for the drawing of one body
_OVERSHOOT = 0.05  # of the diagonal of a spline's points, as `shapes.turned` takes


def turned_variations(shape: Turned, columns: Mapping[Key, Array], count: int) -> Stack:
    """Moments of n turned bodies like one, but for some of its numbers.

    Args:
        shape: what all have in common.
        columns: by the steps to the number, such as ("profile", 2, 0) or ("round",), shape (n,).
        count: how many bodies.
    """
    drawn = _Drawing(count)
    put = {key: column[:, None] for key, column in columns.items()}
    radius: Column = put.get(("round",), shape.round)
    with np.errstate(all="ignore"):  # what is refused may be anything
        curves = drawn.sharp(shape, put)
        drawn.free_of_itself(curves)
        if not (isinstance(radius, float | int) and radius == 0.0):
            drawn.hold(np.asarray(radius) > 0.0)
            curves = drawn.rounded(curves, radius)
            drawn.free_of_itself(curves)
        moments = moments_of(curves)
        hull = hull_of(curves)
    proven = drawn.proven & np.isfinite(np.asarray(moments.volume_mm3))
    return Stack(masked(moments, proven), np.ones(count, dtype=bool), hull, proven)


class _Drawing:
    """Half-sections drawn together, and the rows of which all is shown."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.proven: Mask = np.ones(count, dtype=bool)

    def hold(self, holds: Any) -> None:
        """Only rows of which this holds stay proven."""
        found = np.asarray(holds)
        self.proven &= np.broadcast_to(found.reshape(-1) if found.ndim else found, self.count)

    def sharp(self, shape: Turned, put: Mapping[Key, Array]) -> list[Curve]:
        """The curves as drawn."""

        def point(at: Any, *key: str | int) -> Pair:
            r, z = (
                put.get(("profile", *key, k), np.full((1, 1), float(v))) for k, v in enumerate(at)
            )
            return r, z

        here = point(shape.profile[0], 0)
        self.hold(np.abs(here[0]) <= AXIS_MM / 2.0)
        curves: list[Curve] = []
        for index, step in enumerate(shape.profile[1:], 1):
            if isinstance(step, ArcStep):
                through = point(step.through, index, "through")
                there = point(step.arc, index, "arc")
                self._apart(here, through)
                self._apart(through, there)
                curves.append(self._arc(here, through, there))
            elif isinstance(step, SplineStep):
                points = [here] + [point(p, index, "spline", k) for k, p in enumerate(step.spline)]
                curves += self._spline(points, step)
                there = points[-1]
            else:
                there = point(step, index)
                self._apart(here, there)
                curves.append(Line(here, there))
            here = there
        self.hold(np.abs(here[0]) <= AXIS_MM / 2.0)
        return curves

    def _apart(self, a: Pair, b: Pair) -> None:
        self.hold(np.hypot(a[0] - b[0], a[1] - b[1]) > _LEAST)

    def _arc(self, start: Pair, middle: Pair, end: Pair) -> Arc:
        """`Arc.through` for columns."""
        (ax, ay), (bx, by), (cx, cy) = start, middle, end
        bx, by, cx, cy = bx - ax, by - ay, cx - ax, cy - ay
        area = 2.0 * (bx * cy - by * cx)
        self.hold(np.abs(area) > 1e-8 * (np.hypot(bx, by) + np.hypot(cx, cy)) ** 2)
        b2, c2 = bx * bx + by * by, cx * cx + cy * cy
        ux, uy = (cy * b2 - by * c2) / area, (bx * c2 - cx * b2) / area
        radius: Column = np.hypot(ux, uy)
        first: Column
        first, between, last = (
            np.arctan2(y - uy, x - ux) for x, y in ((0.0 * bx, 0.0 * by), (bx, by), (cx, cy))
        )
        sweep: Column = (last - first) % (2.0 * pi)
        sweep = np.where((between - first) % (2.0 * pi) > sweep, sweep - 2.0 * pi, sweep)
        return Arc((ax + ux, ay + uy), (radius, radius), first, sweep)

    def _spline(self, points: list[Pair], step: SplineStep) -> list[Curve]:
        """`spline_spans` for columns: one small system a row."""
        knots = np.stack([np.concatenate(np.broadcast_arrays(*p), axis=1) for p in _even(points)])
        knots = knots.transpose(1, 0, 2)  # (rows, points, 2)
        gaps = np.diff(knots, axis=1)
        chord = np.hypot(gaps[..., 0], gaps[..., 1])
        self.hold((chord > _LEAST).all(axis=1))
        slope = gaps / chord[..., None]
        rows, n = knots.shape[:2]
        matrix, right = np.zeros((rows, n, n)), np.zeros((rows, n, 2))
        for k in range(1, n - 1):
            matrix[:, k, k - 1] = chord[:, k - 1]
            matrix[:, k, k] = 2.0 * (chord[:, k - 1] + chord[:, k])
            matrix[:, k, k + 1] = chord[:, k]
            right[:, k] = 6.0 * (slope[:, k] - slope[:, k - 1])
        matrix[:, 0, 0] = matrix[:, -1, -1] = 1.0
        if step.leave is not None:
            matrix[:, 0, 0], matrix[:, 0, 1] = 2.0 * chord[:, 0], chord[:, 0]
            right[:, 0] = 6.0 * (slope[:, 0] - _unit(step.leave))
        if step.arrive is not None:
            matrix[:, -1, -2], matrix[:, -1, -1] = chord[:, -1], 2.0 * chord[:, -1]
            right[:, -1] = 6.0 * (_unit(step.arrive) - slope[:, -1])
        matrix[~(chord > 0.0).all(axis=1)] = np.eye(n)  # such rows are not proven anyway
        bend = np.linalg.solve(matrix, right)
        curves: list[Curve] = []
        low, high = knots.min(axis=1), knots.max(axis=1)
        allowed = _OVERSHOOT * np.hypot(*(high - low).T)[:, None]
        for k in range(n - 1):
            h = chord[:, k, None]
            a, b = knots[:, k], knots[:, k + 1]
            leaves = slope[:, k] - h * (2.0 * bend[:, k] + bend[:, k + 1]) / 6.0
            arrives = slope[:, k] + h * (bend[:, k] + 2.0 * bend[:, k + 1]) / 6.0
            inner = [a + leaves * h / 3.0, b - arrives * h / 3.0]
            for extreme in _extremes(a, inner[0], inner[1], b):
                beyond = np.maximum(extreme - high, low - extreme)
                self.hold((beyond <= allowed * (1.0 - 1e-9)).all(axis=1))
            poles = (a, *inner, b)
            columns: Any = tuple((p[:, :1], p[:, 1:]) for p in poles)
            curves.append(Bezier(columns))
        return curves

    def free_of_itself(self, curves: list[Curve]) -> None:
        """Hold that it rises all the way, off the axis, but for level steps on their own."""
        level_before: Any = False
        for k, curve in enumerate(curves):
            if isinstance(curve, Line):
                rise = curve.end[1] - curve.start[1]
                level = np.abs(rise) <= 1e-9
                self.hold((rise > _LEAST) | (level & ~np.asarray(level_before)))
                level_before = level
            else:
                level_before = False
                alone = _rises(curve)
                if k == len(curves) - 1:
                    alone = alone | _lids(curve)
                if k == 0:
                    alone = alone | _lids(curve.overturned())
                self.hold(alone)
            hull = list(hull_of([curve]))
            if k == 0:  # it begins on the axis, and the last one ends there
                hull.pop(-2 if isinstance(curve, Arc) else 0)
            if k == len(curves) - 1:
                hull.pop(-1)
            for r, _ in hull:
                self.hold(r > 2.0 * AXIS_MM)

    def rounded(self, sharp: list[Curve], radius: Column) -> list[Curve]:
        """An arc at every corner, as `shapes.turned` rounds them."""
        begins: list[Column] = [0.0] * len(sharp)
        ends: list[Column] = [1.0] * len(sharp)
        arcs: list[Arc | None] = [None] * len(sharp)
        for k in range(len(sharp) - 1):
            before, after = sharp[k], sharp[k + 1]
            turn = _turn(before, after)
            smooth = np.abs(turn) < SMOOTH_RAD
            if smooth.all():
                continue
            self.hold((np.abs(turn) > 2.0 * SMOOTH_RAD) & (np.abs(turn) < pi - 2e-3))
            ends[k], arcs[k], begins[k + 1] = self._fillet(before, after, radius, turn)
        found: list[Curve] = []
        for k, curve in enumerate(sharp):
            whole = isinstance(begins[k], float) and isinstance(ends[k], float)
            self.hold(np.asarray(ends[k]) - np.asarray(begins[k]) > _LEAST)
            found.append(curve if whole else _part(curve, begins[k], ends[k]))
            arc = arcs[k]
            if arc is not None:
                found.append(arc)
        return found

    def _fillet(
        self, before: Curve, after: Curve, radius: Column, turn: Array
    ) -> tuple[Column, Arc, Column]:
        """`fillet` for columns: Newton's method from the answer for straight neighbours."""
        side = np.where(turn > 0.0, 1.0, -1.0)
        room = radius * np.tan(np.abs(turn) / 2.0)
        ones = np.ones((self.count, 1))
        s = 1.0 - room / _size(before.slope(ones)) * ones
        t = room / _size(after.slope(0.0 * ones)) * ones
        offset = side * radius * ones
        gap = np.full((self.count, 1), np.inf)
        for _ in range(_ROUNDS):
            (r0, z0), (r1, z1) = _centre(before, s, offset), _centre(after, t, offset)
            gap_r, gap_z = r0 - r1, z0 - z1
            gap = np.hypot(gap_r, gap_z)
            if not (gap > 1e-12 * np.maximum(1.0, radius)).any():
                break
            (a, c), (b, d) = _drift(before, s, offset), _drift(after, t, offset)
            area = b * c - a * d
            s = s + np.clip((d * gap_r - b * gap_z) / area, -0.5, 0.5)
            t = t + np.clip((c * gap_r - a * gap_z) / area, -0.5, 0.5)
        self.hold(gap <= 1e-11 * np.maximum(1.0, radius))
        self.hold((s >= 0.0) & (s < 1.0) & (t > 0.0) & (t <= 1.0))
        (r0, z0), (r1, z1) = _centre(before, s, offset), _centre(after, t, offset)
        centre: Pair = ((r0 + r1) / 2.0, (z0 + z1) / 2.0)
        first: Column = _angle(before, s, centre)
        sweep: Column = (side * (_angle(after, t, centre) - first)) % (2.0 * pi) * side
        size: Column = radius * ones
        return s, Arc(centre, (size, size), first, sweep), t


def _even(points: list[Pair]) -> list[Pair]:
    """Points whose columns all have the same number of rows."""
    rows = max(len(c) for p in points for c in p)
    return [(np.broadcast_to(r, (rows, 1)), np.broadcast_to(z, (rows, 1))) for r, z in points]


def _unit(direction: tuple[float, float]) -> Array:
    vector = np.array(direction, dtype=float)
    return np.asarray(vector / np.hypot(*vector))


def _extremes(a: Array, b: Array, c: Array, d: Array) -> list[Array]:
    """Where each coordinate of cubics turns, inside or at the ends; poles of shape (n, 2)."""
    first, second, third = b - a, c - b, d - c
    curve, middle = first - 2.0 * second + third, second - first
    root = np.sqrt(np.maximum(middle * middle - curve * first, 0.0))
    near = -(middle + np.where(middle >= 0.0, root, -root))
    found = []
    for t in (near / curve, first / near):
        t = np.clip(np.nan_to_num(t, nan=0.0, posinf=0.0, neginf=0.0), 0.0, 1.0)
        s = 1.0 - t
        found.append(s**3 * a + 3.0 * s * s * t * b + 3.0 * s * t * t * c + t**3 * d)
    return found


def _rises(curve: Arc | Bezier) -> Mask:
    """Whether a curve rises throughout, as far as its ends and poles tell."""
    if isinstance(curve, Bezier):
        z = [pole[1] for pole in curve.poles]
        steps = [b - a for a, b in pairwise(z)]
        return np.asarray(np.min(np.broadcast_arrays(*steps), axis=0) >= 0.0)
    ends = [curve.sweep_rad * np.cos(a) for a in (curve.from_rad, curve.from_rad + curve.sweep_rad)]
    tiny = -1e-12
    return np.asarray((ends[0] >= tiny) & (ends[1] >= tiny) & (np.abs(curve.sweep_rad) <= pi))


def _lids(curve: Arc | Bezier) -> Mask:
    """Whether a curve that ends on the axis lies above its start all the way."""
    if isinstance(curve, Bezier):
        r, z = zip(*curve.poles, strict=True)
        inward = [a - b for a, b in pairwise(r)]
        above = [p - z[0] for p in z[1:]]
        return np.asarray(np.min(np.broadcast_arrays(*inward, *above), axis=0) > 0.0)
    first = (curve.from_rad + pi) % (2.0 * pi) - pi
    last = first + curve.sweep_rad
    over = (first >= -pi / 2.0) & (last <= 1.5 * pi) & (curve.sweep_rad > 0.0)
    return np.asarray(over & (curve.semi[1] * (np.sin(last) - np.sin(first)) > _LEAST))


def _size(way: Pair) -> Array:
    return np.asarray(np.hypot(*way))


def _direction(curve: Curve, t: Array) -> Pair:
    dr, dz = curve.slope(t)
    size = np.hypot(dr, dz)
    return dr / size, dz / size


def _turn(before: Curve, after: Curve) -> Array:
    """`turn_rad` for columns."""
    one = np.ones((1, 1))
    a, b = _direction(before, one), _direction(after, 0.0 * one)
    angle = np.arccos(np.clip(a[0] * b[0] + a[1] * b[1], -1.0, 1.0))
    return np.asarray(np.where(a[0] * b[1] - a[1] * b[0] >= 0.0, angle, -angle))


def _centre(curve: Curve, t: Array, offset: Array) -> Pair:
    r, z = curve.at(t)
    along = _direction(curve, t)
    return r - offset * along[1], z + offset * along[0]


def _drift(curve: Curve, t: Array, offset: Array) -> Pair:
    (r0, z0), (r1, z1) = (_centre(curve, t + step, offset) for step in (-_STEP, _STEP))
    return (r1 - r0) / (2.0 * _STEP), (z1 - z0) / (2.0 * _STEP)


def _angle(curve: Curve, t: Array, centre: Pair) -> Array:
    r, z = curve.at(t)
    return np.asarray(np.arctan2(z - centre[1], r - centre[0]))


def _part(curve: Curve, t0: Column, t1: Column) -> Curve:
    """The stretch from t0 to t1, columns."""
    if isinstance(curve, Arc):
        return Arc(
            curve.centre,
            curve.semi,
            curve.from_rad + curve.sweep_rad * t0,
            curve.sweep_rad * (t1 - t0),
        )
    poles = (curve.start, curve.end) if isinstance(curve, Line) else curve.poles
    found = tuple(_blossom(poles, t0, t1, k) for k in range(len(poles)))
    return Line(*found) if isinstance(curve, Line) else Bezier(found)


def _blossom(poles: tuple[Pair, ...], t0: Column, t1: Column, number: int) -> Pair:
    """A pole of a stretch: de Casteljau's steps at t1 for some and at t0 for the rest."""
    points = list(poles)
    for k in range(len(poles) - 1):
        t = t1 if k < number else t0
        points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in pairwise(points)]
    return points[0]
