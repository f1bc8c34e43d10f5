"""Turned cores with arcs, splines and fillets that share space, against a fine count of strips."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest

from shapes.claims import claims
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.moments import Array, Moments
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.sphere import Sphere
from shapes.turned import ArcStep, SplineStep, Turned
from tests.reference.drawn_bodies import drawn_profile
from tests.reference.gaps import Seen

CHORDS, STRIP_MM = 4001, 0.1
SHARE = 2e-6  # of all that is claimed: what crossings within a strip and a chord's sag leave open


def sides(body: Placed) -> list[tuple[Array, Array]]:
    """The half-section as chords, in runs along which the height only rises: heights and radii."""
    section = body.shape.section()
    assert section is not None
    t = np.linspace(0.0, 1.0, CHORDS)
    runs = []
    for curve in section.curves:
        r, z = curve.at(t)
        z = z + body.placement.offset()[2]
        turns = 1 + np.nonzero(np.diff(np.sign(np.diff(z))))[0]
        for piece in np.split(np.arange(CHORDS), turns):
            run = np.append(piece, min(piece[-1] + 1, CHORDS - 1))
            if abs(z[run[-1]] - z[run[0]]) > 1e-9:
                run = run if z[run[-1]] > z[run[0]] else run[::-1]
                runs.append((z[run], r[run]))
    return runs


def intervals(runs: Sequence[tuple[Array, Array]], heights: Array) -> list[list[float]]:
    """For every height the sorted radii at which the outline is crossed, an even number."""
    radii = np.array([np.interp(heights, z, r, left=np.nan, right=np.nan) for z, r in runs])
    found = [sorted(column[~np.isnan(column)].tolist()) for column in radii.T]
    return [[0.0, *row] if len(row) % 2 else row for row in found]


def volumes(bodies: Sequence[Placed]) -> list[float]:
    """Volume of what each claims: strips at many heights, intervals that earlier ones leave."""
    runs = [sides(body) for body in bodies]
    ends = np.unique([z[k] for body in runs for z, _ in body for k in (0, -1)])
    heights, widths = strips(ends)
    rows = [intervals(body, heights) for body in runs]
    area = np.zeros(len(bodies))
    for k, width in enumerate(widths):
        held: list[tuple[float, float]] = []
        before = 0.0
        for index, row in enumerate(rows):
            held = merged([*held, *zip(row[k][::2], row[k][1::2], strict=True)])
            after = sum(far**2 - near**2 for near, far in held)
            area[index] += width * (after - before)
            before = after
    return [float(v) for v in np.pi * area]


def strips(ends: Array) -> tuple[Array, Array]:
    """Heights and weights: two Gauss points a strip, no strip across an end of any outline."""
    edges = [np.linspace(a, b, int((b - a) / STRIP_MM) + 2) for a, b in pairwise(ends) if b > a]
    low, high = (np.concatenate([e[k] for e in edges]) for k in (slice(None, -1), slice(1, None)))
    half = (high - low) / 2
    shift = half / np.sqrt(3)
    middle = (low + high) / 2
    return np.concatenate([middle - shift, middle + shift]), np.concatenate([half, half])


def merged(intervals: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for near, far in sorted(intervals):
        if joined and near <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(far, joined[-1][1]))
        else:
            joined.append((near, far))
    return joined


def drawn_core(g: np.random.Generator) -> Placed:
    while True:
        try:
            core = Turned(drawn_profile(g), float(g.choice([0.0, 2.0, 5.0])))
        except ValueError:
            continue
        return Placed(core, Placement(move_mm=(0.0, 0.0, float(g.uniform(-5, 5)))))


def drawn_insert(g: np.random.Generator) -> Placed:
    r, z = float(g.uniform(12, 50)), float(g.uniform(-60, 60))
    shapes = (Cylinder(2 * r, float(g.uniform(8, 60))), Sphere(2 * r),
              Ellipsoid((2 * r, 2 * r, float(g.uniform(20, 90)))))  # fmt: skip
    return Placed(shapes[int(g.integers(0, 3))], Placement(move_mm=(0.0, 0.0, z)))


def assert_claims(bodies: Sequence[Placed], seen: Seen) -> list[Moments]:
    found = claims(bodies)
    due = volumes(bodies)
    exact = [m for m in found if m is not None]
    assert len(exact) == len(found), "left to the CAD kernel"
    for mine, theirs in zip(exact, due, strict=True):
        apart = abs(mine.volume_mm3 - theirs) / sum(due)
        assert seen("claims of turned cores and strips, share of volume", apart) <= SHARE
    return exact


@pytest.mark.parametrize("seed", range(16))
def test_random_cores_with_inserts(seed: int, seen: Seen) -> None:
    g = np.random.default_rng([5, seed])
    assert_claims([drawn_insert(g), drawn_core(g), drawn_insert(g), Placed(Sphere(300.0))], seen)


@pytest.mark.parametrize("seed", range(6))
def test_one_random_core_in_another(seed: int, seen: Seen) -> None:
    g = np.random.default_rng([6, seed])
    assert_claims([drawn_core(g), drawn_core(g)], seen)


FOOT, BELT = ((0.0, -60.0), (45.0, -60.0)), SplineStep(((55.0, -10.0), (40.0, 40.0)))
DOME = ArcStep((0.0, 62.0), (24.0, 55.5))


def test_two_cores_that_share_a_stretch_of_spline_and_dome(seen: Seen) -> None:
    """A core in two pours: the upper one has the flank and the dome of the whole."""
    whole = Placed(Turned((*FOOT, BELT, DOME)))
    dome = Placed(Turned(((0.0, 40.0), (40.0, 40.0), DOME)))
    head, rest = assert_claims([dome, whole], seen)
    assert (head + rest).volume_mm3 == pytest.approx(whole.moments().volume_mm3, rel=1e-13)


def test_a_core_over_itself_claims_nothing() -> None:
    whole = Placed(Turned((*FOOT, BELT, DOME), 3.0))
    again = Placed(Turned((*FOOT, BELT, DOME), 3.0))
    first, second = claims([whole, again])
    assert first is not None
    assert second is not None
    assert first.volume_mm3 == pytest.approx(whole.moments().volume_mm3)
    assert second.volume_mm3 == pytest.approx(0.0, abs=1e-6)


def test_a_rounded_core_in_the_same_core_unrounded(seen: Seen) -> None:
    """Outlines that part and meet again at every fillet: only the corners are left to claim."""
    blunt = Placed(Turned((*FOOT, BELT, DOME), 4.0))
    sharp = Placed(Turned((*FOOT, BELT, DOME)))
    _, corners = assert_claims([blunt, sharp], seen)
    due = sharp.moments().volume_mm3 - blunt.moments().volume_mm3
    assert corners.volume_mm3 == pytest.approx(due, rel=1e-9)
