"""Where straight lines run inside a body of revolution: every crossing with its half-section.

A straight side turns a cone and an arc about a point of the axis a spheroid: quadratic equations.
Any other curve takes a search, see `shapes.bend_chords`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shapes.bend_chords import Bends, bends_of, through_bends
from shapes.chords import Lines, gathered, probed
from shapes.curves import Arc, Bezier, Line, box_of
from shapes.moments import Array
from shapes.profile import Profile, pieces_of

_LEVEL = 1e-9  # a line that rises by less a mm is taken to rise by so much
_FLAT = 1e-9  # a side that rises by less, as a share of its length, is level


@dataclass(frozen=True, eq=False)
class _Sides:
    """Pieces that turn quadrics, (r / a)^2 = shape(z), as columns: shape (m,) each.

    r^2 = p + q z + w z^2 between the heights, from `first` towards `last`.
    """

    p: Array
    q: Array
    w: Array
    first: Array
    last: Array


@dataclass(frozen=True, eq=False)
class _Ends:
    """Level pieces: a height and two radii, shape (m,) each."""

    height: Array
    inner: Array
    outer: Array


@dataclass(frozen=True, eq=False)
class _Cut:
    """A half-section made ready."""

    sides: _Sides
    ends: _Ends
    bends: tuple[Bends, ...]
    reach_mm: float


def chords_of(profile: Profile, lines: Lines) -> Array:
    """Where lines run inside the body that a half-section turns about Z; see `shapes.chords`."""
    cut = _ready(profile)
    rise = lines.way[:, 2]
    rise = np.where(np.abs(rise) < _LEVEL, np.where(rise < 0.0, -_LEVEL, _LEVEL), rise)
    found = [
        _through_ends(cut.ends, lines, rise),
        *_through_sides(cut.sides, lines),
        *(through_bends(bends, lines, rise) for bends in cut.bends),
    ]
    ends = gathered(np.concatenate(found, axis=1))
    odd = np.flatnonzero(np.isfinite(ends).sum(axis=1) % 2)
    if len(odd) == 0:
        return ends
    # a line through a corner, or one that grazes: nothing hangs on it but the parity
    again = probed(
        lambda x: profile.contains(np.hypot(x[:, 0], x[:, 1]), x[:, 2]),
        cut.reach_mm,
        lines.some(odd),
    )
    wide = max(ends.shape[1], again.shape[1])
    both = np.full((len(lines), wide), np.inf)
    both[:, : ends.shape[1]] = ends
    both[odd] = np.inf
    both[odd, : again.shape[1]] = again
    return both


@lru_cache(maxsize=256)
def _ready(profile: Profile) -> _Cut:
    sides: list[tuple[float, ...]] = []
    level: list[tuple[float, ...]] = []
    polynomials: list[Bezier] = []
    arcs: list[Arc] = []
    for whole in profile.curves:
        for piece in pieces_of(whole):
            (r, z), (s, w) = piece.start, piece.end
            if isinstance(piece, Line):
                if abs(w - z) <= _FLAT * abs(s - r):
                    level.append((0.5 * (z + w), *sorted((r, s))))
                    continue
                b = (s - r) / (w - z)
                a = r - b * z
                sides.append((a * a, 2.0 * a * b, b * b, z, w))
            elif isinstance(piece, Arc) and piece.centre[0] == 0.0:
                (_, c), (a, b) = piece.centre, piece.semi
                k = (a / b) ** 2
                sides.append((a * a - k * c * c, 2.0 * k * c, -k, z, w))
            elif isinstance(piece, Arc):
                arcs.append(piece)
            elif box_of(piece).z_high > box_of(piece).z_low:
                polynomials.append(piece)
            else:
                level.append((z, *sorted((r, s))))
    columns = np.array(sides).reshape(-1, 5).T
    return _Cut(
        _Sides(*columns),
        _Ends(*np.array(level).reshape(-1, 3).T),
        tuple(bends_of(pieces) for pieces in (polynomials, arcs) if pieces),
        profile.farthest(0.0, 0.0),
    )


def _through_ends(ends: _Ends, lines: Lines, rise: Array) -> Array:
    """Crossings with level pieces, shape (n, m)."""
    t = (ends.height - lines.start[:, 2, None]) / rise[:, None]
    x = lines.start[:, 0, None] + t * lines.way[:, 0, None]
    y = lines.start[:, 1, None] + t * lines.way[:, 1, None]
    r = np.hypot(x, y)
    return np.where((r >= ends.inner) & (r < ends.outer), t, np.inf)


def _through_sides(sides: _Sides, lines: Lines) -> tuple[Array, Array]:
    """Crossings with quadrics, two of shape (n, m); both roots by the form that cannot cancel."""
    x, y, z = (lines.start[:, k, None] for k in range(3))
    u, v, w = (lines.way[:, k, None] for k in range(3))
    a = u * u + v * v - sides.w * w * w
    b = x * u + y * v - (sides.q / 2.0 + sides.w * z) * w
    c = x * x + y * y - sides.p - (sides.q + sides.w * z) * z
    square = b * b - a * c
    with np.errstate(divide="ignore", invalid="ignore"):
        q = -(b + np.copysign(np.sqrt(square), b))
        roots = q / a, c / q
        found = []
        for t in roots:
            share = (z + t * w - sides.first) / (sides.last - sides.first)
            found.append(np.where((share >= 0.0) & (share < 1.0), t, np.inf))
    return found[0], found[1]
