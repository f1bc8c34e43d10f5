"""Where straight lines cross the surfaces that curves of no quadric turn about Z.

A curve r(s), z(s) meets a line o + t k, with o' and k' what of them is across the axis, at

    F(s) = (k_z r)^2 - |o' k_z + (z - o_z) k'|^2 = 0,

which has no division by k_z.  A line that is nearly level crosses twice close by, on either side of
where it is nearest to the axis: curves are split there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from shapes.chords import Lines, none
from shapes.curves import Arc, Bezier, box_of
from shapes.moments import Array, Indices, Mask

_STEPS = 6  # a curve is searched in so many
_ROUNDS = 60
_CLOSE = 1e-13  # of a curve's parameter: a root moves by no more


@dataclass(frozen=True, eq=False)
class Bends:
    """Rising or falling pieces of one kind: where they lie, and polynomials or arcs.

    Attributes:
        box: shape (m, 4), least and greatest r and z.
        r, z: shape (m, d), coefficients, highest power first, of those that are polynomials; for
            arcs (centre, semi-axis, from, sweep).
        rising: shape (m,), whether z rises with s.
        is_arc: whether they are arcs.
    """

    box: Array
    r: Array
    z: Array
    rising: Mask
    is_arc: bool


def bends_of(pieces: Sequence[Arc | Bezier]) -> Bends:
    """Pieces of one kind as columns."""
    box = [(b.r_low, b.r_high, b.z_low, b.z_high) for b in map(box_of, pieces)]
    degree = max((p.degree for p in pieces if isinstance(p, Bezier)), default=3)
    columns = np.zeros((2, len(pieces), degree + 1))
    for k, piece in enumerate(pieces):
        if isinstance(piece, Bezier):
            columns[:, k, degree - piece.degree :] = piece.powers().T
        else:
            angles = piece.from_rad, piece.sweep_rad
            for axis in (0, 1):
                columns[axis, k] = piece.centre[axis], piece.semi[axis], *angles
    rising = np.array([p.end[1] > p.start[1] for p in pieces])
    return Bends(np.array(box), columns[0], columns[1], rising, isinstance(pieces[0], Arc))


def through_bends(bends: Bends, lines: Lines, rise: Array) -> Array:
    """Crossings with the pieces, shape (n, m), infinite where there are none.

    Args:
        bends: the pieces.
        lines: in the frame of the half-section.
        rise: shape (n,), the lines' z a mm, never quite zero.
    """
    row, piece = _near(bends, lines, rise)
    if len(row) == 0:
        return none(lines)
    some = _Pairs.of(bends, lines, rise, row, piece)
    s = np.broadcast_to(np.linspace(0.0, 1.0, _STEPS + 1), (len(row), _STEPS + 1))
    split = some.where_nearest()
    s = np.sort(np.concatenate([s, split[:, None]], axis=1), axis=1)
    pair, low, high, rises = _brackets(some, s)
    if len(pair) == 0:
        return none(lines)
    found = some.some(pair)
    t = found.parameter(_root(found.value_and_slope, low, high, rises))
    order = np.argsort(found.row, kind="stable")
    rows = found.row[order]
    place = np.arange(len(rows)) - np.searchsorted(rows, rows)  # its turn on its line
    crossings = np.full((len(lines), int(place.max()) + 1), np.inf)
    crossings[rows, place] = t[order]
    return crossings


def _brackets(pairs: _Pairs, s: Array) -> tuple[Indices, Array, Array, Mask]:
    """Stretches of s in which F changes sign once: pair, ends, and whether it rises.

    Where F heads for zero and turns back between two places, it may have crossed zero twice: the
    place where a parabola would turn is looked at too.
    """
    value, slope = pairs.value_and_slope(s)
    above = value > 0.0
    pair, step = np.nonzero(above[:, 1:] != above[:, :-1])
    low, high, rises = s[pair, step], s[pair, step + 1], ~above[pair, step]
    towards = np.where(above, -slope, slope) > 0.0
    twice = (above[:, 1:] == above[:, :-1]) & towards[:, :-1] & ~towards[:, 1:]
    bent, at = np.nonzero(twice)
    if len(bent) == 0:
        return pair, low, high, rises
    before, after = slope[bent, at], slope[bent, at + 1]
    a, b = s[bent, at], s[bent, at + 1]
    turn = a + (b - a) * before / (before - after)
    real = (pairs.some(bent).value_and_slope(turn)[0] > 0.0) != above[bent, at]
    bent, a, b, turn, up = bent[real], a[real], b[real], turn[real], ~above[bent, at][real]
    return (
        np.concatenate([pair, bent, bent]),
        np.concatenate([low, a, turn]),
        np.concatenate([high, turn, b]),
        np.concatenate([rises, up, ~up]),
    )


def _near(bends: Bends, lines: Lines, rise: Array) -> tuple[Indices, Indices]:
    """Pairs of a line and a curve whose box the line may pass, as indices."""
    if len(bends.box) == 0:
        return np.zeros(0, dtype=int), np.zeros(0, dtype=int)
    x, y, z = lines.start.T
    u, v, _ = lines.way.T
    across = u * u + v * v
    along = x * u + y * v
    nearest = -along / np.where(across == 0.0, 1.0, across)
    low, high = ((bends.box[:, k] - z[:, None]) / rise[:, None] for k in (2, 3))
    low, high = np.minimum(low, high), np.maximum(low, high)
    middle = np.clip(nearest[:, None], low, high)
    far = np.where(np.abs(low - nearest[:, None]) > np.abs(high - nearest[:, None]), low, high)

    def square(t: Array) -> Array:
        return np.asarray(
            (x * x + y * y)[:, None] + 2.0 * along[:, None] * t + across[:, None] * t * t
        )

    room = 1e-6
    may = (square(middle) <= (bends.box[:, 1] + room) ** 2) & (
        square(far) >= np.maximum(bends.box[:, 0] - room, 0.0) ** 2
    )
    row, piece = np.nonzero(may)
    return row, piece


@dataclass(frozen=True, eq=False)
class _Pairs:
    """Lines and curves, pair by pair: columns of shape (k,), curves as coefficients (k, d)."""

    row: Indices
    start: Array
    way: Array
    rise: Array
    r: Array
    z: Array
    rising: Mask
    is_arc: bool

    @staticmethod
    def of(bends: Bends, lines: Lines, rise: Array, row: Indices, piece: Indices) -> _Pairs:
        return _Pairs(
            row, lines.start[row], lines.way[row], rise[row],
            bends.r[piece], bends.z[piece], bends.rising[piece], bends.is_arc,
        )  # fmt: skip

    def some(self, which: Indices | Mask) -> _Pairs:
        return _Pairs(
            self.row[which], self.start[which], self.way[which], self.rise[which],
            self.r[which], self.z[which], self.rising[which], self.is_arc,
        )  # fmt: skip

    def curve(self, s: Array) -> tuple[Array, Array, Array, Array]:
        """R and its slope, z and its slope."""
        if self.is_arc:
            cos, sin, way = _turns(self.r, s)
            return (
                _wide(self.r[:, 0], s) + _wide(self.r[:, 1], s) * cos,
                -_wide(self.r[:, 1], s) * way * sin,
                _wide(self.z[:, 0], s) + _wide(self.z[:, 1], s) * sin,
                _wide(self.z[:, 1], s) * way * cos,
            )
        return *_polynomial(self.r, s), *_polynomial(self.z, s)

    def value_and_slope(self, s: Array) -> tuple[Array, Array]:
        """F and dF/ds at s, shape (k,) or (k, j)."""
        r, dr, z, dz = self.curve(s)
        x, y, o = (_wide(column, s) for column in self.start.T)
        u, v, _ = (_wide(column, s) for column in self.way.T)
        rise = _wide(self.rise, s)
        a, b = x * rise + (z - o) * u, y * rise + (z - o) * v
        square = rise * rise
        return square * r * r - a * a - b * b, 2.0 * (square * r * dr - (a * u + b * v) * dz)

    def _nearest(self) -> tuple[Array, Array]:
        """Where the lines are nearest to the axis: the parameter, and how much they run across."""
        (x, y, _), (u, v, _) = (a.T for a in (self.start, self.way))
        across = u * u + v * v
        return -(x * u + y * v) / np.where(across == 0.0, 1.0, across), across

    def where_nearest(self) -> Array:
        """The s, shape (k,), at the height where a line is nearest to the axis; 1 where none is."""
        nearest, _ = self._nearest()
        height = self.start[:, 2] + nearest * self.rise
        ends = [self.curve(np.full(len(self.row), s))[2] for s in (0.0, 1.0)]
        passes = (np.minimum(*ends) < height) & (height < np.maximum(*ends))
        found = np.ones(len(self.row))
        if passes.any():
            some = self.some(passes)

            def gap(s: Array) -> tuple[Array, Array]:
                _, _, z, dz = some.curve(s)
                return z - height[passes], dz

            count = int(passes.sum())
            found[passes] = _root(gap, np.zeros(count), np.ones(count), some.rising)
        return found

    def parameter(self, s: Array) -> Array:
        """The line's own parameter where it passes the curve at s, by whichever way is sure."""
        r, _, z, _ = self.curve(s)
        by_height = (z - self.start[:, 2]) / self.rise
        level = np.abs(self.rise) < 1e-5
        if not level.any():
            return by_height
        nearest, across = self._nearest()
        at = self.start + nearest[:, None] * self.way
        square = np.maximum(r * r - at[:, 0] ** 2 - at[:, 1] ** 2, 0.0)
        aside = np.sqrt(square / np.where(across == 0.0, 1.0, across))
        return np.where(level, nearest + np.copysign(aside, by_height - nearest), by_height)


def _wide(column: Array, s: Array) -> Array:
    """A column, shape (k,), beside s of shape (k,) or (k, j)."""
    return column if s.ndim == 1 else column[:, None]


def _polynomial(c: Array, s: Array) -> tuple[Array, Array]:
    """Values and slopes of polynomials, coefficients (k, d) from the highest power on, at s."""
    value, slope = _wide(c[:, 0], s) + 0.0 * s, 0.0 * s
    for k in range(1, c.shape[1]):
        slope = slope * s + value
        value = value * s + _wide(c[:, k], s)
    return value, slope


def _turns(c: Array, s: Array) -> tuple[Array, Array, Array]:
    """Cosine and sine of arcs at s, and their sweep."""
    first, sweep = _wide(c[:, 2], s), _wide(c[:, 3], s)
    angle = first + sweep * s
    return np.cos(angle), np.sin(angle), sweep


def _root(
    function: Callable[[Array], tuple[Array, Array]], low: Array, high: Array, rises: Mask
) -> Array:
    """Roots between `low` and `high`, shape (k,): Newton's steps, halving where they leave.

    `rises` tells whether the function, which gives values and slopes, is below zero at `low`.
    """
    s = 0.5 * (low + high)
    for _ in range(_ROUNDS):
        value, slope = function(s)
        below = (value < 0.0) == rises
        low, high = np.where(below, s, low), np.where(below, high, s)
        with np.errstate(divide="ignore", invalid="ignore"):
            ahead = s - value / slope
        moved = np.where((ahead >= low) & (ahead <= high), ahead, 0.5 * (low + high))
        step = np.abs(moved - s).max()
        s = moved
        if step <= _CLOSE:
            break
    return s
