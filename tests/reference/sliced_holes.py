"""Drilled balls of spheres and ellipsoids, sliced: planes across each hole, lines across planes.

Nothing of the product is used.  A hole is cut by planes square to its axis, each plane by parallel
lines.  A line meets every surface (ellipsoid, cylinder, cone, flat bottom) at the roots of a
quadratic; between roots the density is constant and 1, u, u^2 are integrated exactly.  From line to
line the rule breaks where a conic begins or ends and where two of them cross, roots of quadratics
and quartics; between these it is Gauss's, under a sine that smooths square roots at both ends.
From plane to plane it is the same rule, halved until that changes nothing.

`drilled_balls.json` holds what this method found with more points, to 1e-9 in of RG, and found
again by slicing whole drilled balls along one slanted direction, and by counting points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import cos, pi, radians, sin, tan
from typing import Any

import numpy as np
from scipy.spatial.transform import Rotation

Array = np.ndarray
LB_PER_G_CM3_IN3 = 2.54**3 / 453.59237
_IN_S, _IN_V = 6, 8  # nodes from plane to plane, from line to line
_CLOSE = 1e-6  # g/cm3 in^n, to which planes are halved; a ball's inertia is about 2000


@dataclass(frozen=True)
class Weighed:
    """A drilled ball: lb and in, the tensor about the centre of gravity, products negated."""

    mass: float
    centre: Array
    inertia: Array

    def rg(self) -> Array:
        """Low, intermediate and high RG."""
        return np.asarray(np.sqrt(np.linalg.eigvalsh(self.inertia) / self.mass))


def weigh_sliced(design: dict[str, Any]) -> Weighed:
    """Weigh the ball of a design file, bare numbers in inches, no density free.

    Every part must hold all those before it.
    """
    parts = _parts(design)
    radius = design["ball"]["diameter"] / 2
    found = _undrilled(parts)
    holes: list[_Hole] = []
    for spec in design["drilling"]["holes"]:
        hole = _Hole.of(spec, radius)
        before = [h for h in holes if _may_meet(h, hole)]
        found = [a - b for a, b in zip(found, _taken(hole, before, parts, radius), strict=True)]
        holes.append(hole)
    mass, first, second = found
    centre = first / mass
    central = second - mass * np.outer(centre, centre)
    inertia = np.trace(central) * np.eye(3) - central
    return Weighed(float(mass) * LB_PER_G_CM3_IN3, centre, inertia * LB_PER_G_CM3_IN3)


@dataclass(frozen=True)
class _Part:
    density: float
    semi: Array
    turn: Array
    move: Array

    def quadric(self) -> Array:
        """(x, 1) Q (x, 1) <= 0 inside."""
        a = self.turn @ np.diag(1 / self.semi**2) @ self.turn.T
        return _quadric(a, -2 * a @ self.move, self.move @ a @ self.move - 1)


@dataclass(frozen=True)
class _Hole:
    """From `at` along `way`: radius r to the depth, then a cone of slope `point`, or flat (0)."""

    at: Array
    way: Array
    r: float
    depth: float
    point: float

    @staticmethod
    def of(spec: dict[str, Any], radius: float) -> _Hole:
        polar, azimuth = spec["at"]["arc"] / radius, _rad(spec["at"]["azimuth"])
        at = radius * np.array([sin(polar) * cos(azimuth), sin(polar) * sin(azimuth), cos(polar)])
        way = np.array(spec["towards"]) - at
        bottom = spec["bottom"]
        point = 0.0 if bottom == "flat" else tan(_rad(bottom["point"]) / 2)
        return _Hole(at, way / np.linalg.norm(way), spec["diameter"] / 2, spec["depth"], point)

    @cached_property
    def end(self) -> float:
        return self.depth + (self.r / self.point if self.point else 0.0)

    def radius_at(self, s: float) -> float:
        return self.r if s <= self.depth else (self.end - s) * self.point

    @cached_property
    def quadrics(self) -> list[Array]:
        """Cylinder, end and, unless flat, cone: a point lies in the hole if it lies in all."""
        end = _quadric(np.zeros((3, 3)), self.way, -self.way @ self.at - self.end)
        cone = self.point**2 * np.array([self.end**2, -2 * self.end, 1])
        return [self._round(self.r**2, 0, 0), end, *([self._round(*cone)] if self.point else [])]

    def _round(self, c: float, b: float, a: float) -> Array:
        """Where rho^2 is c + b t + a t^2, t along the way."""
        m, lean = np.eye(3) - (1 + a) * np.outer(self.way, self.way), b * self.way
        return _quadric(m, -2 * m @ self.at - lean, self.at @ m @ self.at + lean @ self.at - c)


def _quadric(a: Array, b: Array, c: float) -> Array:
    """The matrix of x a x + b x + c."""
    return np.block([[a, b[:, None] / 2], [b[None] / 2, np.array([[c]])]])


def _rad(told: str) -> float:
    return radians(float(told.removesuffix(" deg")))


def _parts(design: dict[str, Any]) -> list[_Part]:
    found = []
    for part in design["parts"]:
        size = [part["diameter"]] * 3 if part["shape"] == "sphere" else part["size"]
        tilt = part.get("tilt", {"by": "0 deg", "toward": "0 deg"})
        toward = _rad(tilt["toward"])
        hinge = np.array([-sin(toward), cos(toward), 0])
        turn = Rotation.from_rotvec(_rad(tilt["by"]) * hinge).as_matrix()
        density = design["materials"][part["material"]]["density"]
        move = np.array(part.get("move", [0, 0, 0]), dtype=float)
        found.append(_Part(density, np.array(size) / 2, turn, move))
    return found


def _undrilled(parts: Sequence[_Part]) -> list[Any]:
    """Mass, first and second moments: every body in closed form, with what it is denser by."""
    found: list[Any] = [0.0, np.zeros(3), np.zeros((3, 3))]
    for part, outer in zip(parts, [*parts[1:], None], strict=True):
        m = (part.density - (outer.density if outer else 0)) * 4 / 3 * pi * part.semi.prod()
        own = part.turn @ np.diag(part.semi**2 / 5) @ part.turn.T
        each = m, m * part.move, m * (own + np.outer(part.move, part.move))
        found = [a + b for a, b in zip(found, each, strict=True)]
    return found


def _may_meet(a: _Hole, b: _Hole) -> bool:
    """Whether their axes, without ends, come near enough."""
    across, apart = np.cross(a.way, b.way), b.at - a.at
    if np.linalg.norm(across) < 1e-9:
        return bool(np.linalg.norm(np.cross(apart, a.way)) < a.r + b.r + 1e-6)
    return bool(abs(apart @ across) / np.linalg.norm(across) < a.r + b.r + 1e-6)


def _taken(
    hole: _Hole, before: Sequence[_Hole], parts: Sequence[_Part], radius: float
) -> list[Any]:
    """What a hole takes that none before it did: mass, first and second moments."""
    aside = np.cross(hole.way, np.eye(3)[np.abs(hole.way).argmin()])
    aside = aside / np.linalg.norm(aside)
    frame = np.array([aside, np.cross(hole.way, aside), hole.way])
    mid = -hole.at @ hole.way
    low, high = mid - radius, min(hole.end, mid + radius)
    cuts = [low, *([hole.depth] if low < hole.depth < high else []), high]
    flat = _halved(_Plane(hole, frame, before, parts), cuts)
    m, first = flat[0], frame.T @ flat[1:4]
    u, v, s = flat[4:7], flat[7:9], flat[9]
    local = np.array([[u[0], u[1], u[2]], [u[1], v[0], v[1]], [u[2], v[1], s]])
    second, p = frame.T @ local @ frame, hole.at
    lean = np.outer(first, p)
    return [m, first + m * p, second + lean + lean.T + m * np.outer(p, p)]


def _halved(plane: Callable[[float], Array], cuts: Sequence[float]) -> Array:
    """Integrals over s of what a plane holds: 1, u, v, s, uu, uv, us, vv, vs, ss."""
    t, w = _under_a_sine(_IN_S)

    def rule(a: float, b: float) -> Array:
        s = (a + b) / 2 + (b - a) / 2 * t
        one, u, v, uu, uv, vv = np.array([plane(x) for x in s]).T
        rows = [one, u, v, s * one, uu, uv, s * u, vv, s * v, s * s * one]
        return np.array(rows) @ w * (b - a) / 2

    total = np.zeros(10)
    left = [(a, b, rule(a, b)) for a, b in pairwise(cuts)]
    while left:
        a, b, whole = left.pop()
        c = (a + b) / 2
        low, high = rule(a, c), rule(c, b)
        if abs(whole - low - high).max() < _CLOSE or b - a < 1e-9:
            total += low + high
        else:
            left += [(a, c, low), (c, b, high)]
    return total


@dataclass(frozen=True)
class _Plane:
    """What of a hole's disc each plane at s holds: density times 1, u, v, uu, uv, vv."""

    hole: _Hole
    frame: Array
    before: Sequence[_Hole]
    parts: Sequence[_Part]

    @cached_property
    def _quadrics(self) -> Array:
        each = [part.quadric() for part in self.parts]
        return np.array(each + [q for hole in self.before for q in hole.quadrics])

    def __call__(self, s: float) -> Array:
        r = self.hole.radius_at(s)
        if r <= 0:
            return np.zeros(6)
        a, b, c = self._conics(s, r)
        z = _breaks(np.append(a, 1.0), np.vstack([b, [0, 0]]), np.vstack([c, [-1, 0, 1]]))
        t, w = _under_a_sine(_IN_V)
        half = np.diff(z)[:, None] / 2
        v = ((z[1:] + z[:-1])[:, None] / 2 + half * t).ravel()
        one, u, uu = self._along(a, b, c, v) * (half * w).ravel()
        flat = [one.sum(), u.sum(), (one * v).sum(), uu.sum(), (u * v).sum(), (one * v * v).sum()]
        return np.array(flat) * r ** np.array([2, 3, 3, 4, 4, 4])

    def _conics(self, s: float, r: float) -> tuple[Array, Array, Array]:
        """In units of r: a u^2 + b(v) u + c(v), polynomials of v from the constant upwards."""
        m = np.zeros((4, 3))
        m[:3, :2], m[:3, 2], m[3, 2] = r * self.frame[:2].T, self.hole.at + s * self.frame[2], 1
        q = m.T @ self._quadrics @ m
        q /= np.maximum(abs(q).max(axis=(1, 2), keepdims=True), 1e-300)
        b = np.stack([2 * q[:, 0, 2], 2 * q[:, 0, 1]], axis=1)
        return q[:, 0, 0], b, np.stack([q[:, 2, 2], 2 * q[:, 1, 2], q[:, 1, 1]], axis=1)

    def _along(self, a: Array, b: Array, c: Array, v: Array) -> Array:
        """Integrals of density times 1, u, u^2 along the lines at v."""
        rim = np.sqrt(np.maximum(1 - v * v, 0))
        b, c = b @ np.array([v**0, v]), c @ np.array([v**0, v, v * v])
        with np.errstate(all="ignore"):
            root = -(b + np.where(b < 0, -1, 1) * np.sqrt(b * b - 4 * a[:, None] * c)) / 2
            u = np.concatenate([root / a[:, None], c / root, -rim[None], rim[None]])
        u = np.sort(np.clip(np.where(np.isnan(u), -rim, u), -rim, rim), axis=0)
        mid = (u[1:] + u[:-1]) / 2
        inside = (a[:, None, None] * mid + b[:, None]) * mid + c[:, None] <= 0
        density = np.zeros(mid.shape)
        for part, there in reversed(list(zip(self.parts, inside, strict=False))):
            density[there] = part.density
        k = len(self.parts)
        for hole in self.before:
            density[inside[k : k + len(hole.quadrics)].all(axis=0)] = 0
            k += len(hole.quadrics)
        return np.array([(density * np.diff(u**n, axis=0)).sum(axis=0) / n for n in (1, 2, 3)])


def _breaks(a: Array, b: Array, c: Array) -> Array:
    """Where a conic begins or ends, or two cross, between -1 and 1; those ends with them."""
    extent = _product(b, b) - 4 * a[:, None] * c
    one_root = abs(extent).max(axis=1) <= 1e-13  # a line in u and v: its ends are those of c
    extent = _quartic(np.where(one_root[:, None], c, extent))
    i, j = np.triu_indices(len(a), 1)
    e = a[i, None] * c[j] - a[j, None] * c[i]
    g = a[i, None] * b[j] - a[j, None] * b[i]
    h = _product(b[i], c[j]) - _product(b[j], c[i])
    crossing = _product(e, e) - _product(g, h)
    both_lines = np.maximum(abs(a[i]), abs(a[j])) < 1e-14
    crossing = np.where(both_lines[:, None], _quartic(h), crossing)
    every = np.unique([-1.0, 1.0, *_roots(np.concatenate([extent, crossing]))])
    return every[np.append(True, np.diff(every) > 1e-12)]


def _product(a: Array, b: Array) -> Array:
    """Of polynomials, shape (n, degree + 1)."""
    found = np.zeros((len(a), a.shape[1] + b.shape[1] - 1))
    for k in range(a.shape[1]):
        found[:, k : k + b.shape[1]] += a[:, k, None] * b
    return found


def _quartic(a: Array) -> Array:
    return np.pad(a, ((0, 0), (0, 5 - a.shape[1])))


def _roots(quartics: Array) -> Array:
    """Real parts of roots near the real line, double ones split by rounding included."""
    big = abs(quartics).max(axis=1)
    quartics = quartics[big > 1e-15] / big[big > 1e-15, None]
    full = abs(quartics[:, 4]) >= 1e-13
    companions = np.tile(np.eye(4, k=-1), (full.sum(), 1, 1))
    companions[:, :, 3] = -quartics[full, :4] / quartics[full, 4:]
    less = [np.roots(np.trim_zeros(np.where(abs(c) < 1e-13, 0, c)[::-1])) for c in quartics[~full]]
    z = np.concatenate([np.linalg.eigvals(companions).ravel(), *less])
    return z.real[(abs(z.imag) < 0.05) & (abs(z.real) < 1)]


def _under_a_sine(n: int) -> tuple[Array, Array]:
    t, w = np.polynomial.legendre.leggauss(n)
    return np.sin(pi * t / 2), w * pi / 2 * np.cos(pi * t / 2)
