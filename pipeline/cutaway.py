"""True solid cuts of a ball, and the surfaces that are left to draw.

The parts' own solids are cut by a wedge about the Z axis; nothing is clipped, so every cut face is
a face of a solid.  Where two parts touch, their common surface is drawn once, with the part that
comes first in the design: a face of a later part that lies on an earlier one is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from pipeline.ball import Ball
from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.scene import UPRIGHT, Frame, Indices
from pipeline.shells import FINE, Fineness, Patch, Shell, patches_of, together
from pipeline.solids import solids_of
from shapes.moments import Array
from shapes.placed import Placed
from shapes.placement import Placement

if TYPE_CHECKING:
    import cadquery as cq

Flags = npt.NDArray[np.bool_]

_APART_MM = 0.01  # how far off a face its two sides are looked at
_CLEAR_MM = 0.5  # the same, from the flat triangles
_LEVEL_MM = 1e-4  # a corner this near to a plane lies in it
_SAMPLES = 20_000
_SPREAD = 4.0  # times what as many points strewn at random would scatter by
_TURNS_DEG = (0.0, 0.7, -1.1)  # a cut that fails is tried again a little to the side


@dataclass(frozen=True)
class Wedge:
    """What is taken away: all within an angle about the Z axis, seen from the ball's centre.

    Attributes:
        middle_deg: azimuth of its middle, from +X about +Z.
        opening_deg: its angle; 180 takes half of the ball.
        frame: the X, Y and Z, in the ball frame, that these are measured in.
    """

    middle_deg: float
    opening_deg: float
    frame: Frame = UPRIGHT

    def contains(self, points: Array) -> Flags:
        """Which of the points, shape (n, 3), are taken away."""
        own = points if self.frame == UPRIGHT else points @ np.array(self.frame).T
        turn = np.degrees(np.arctan2(own[:, 1], own[:, 0])) - self.middle_deg
        away = np.abs((turn + 180.0) % 360.0 - 180.0)
        return np.asarray(away < self.opening_deg / 2.0)

    def normals(self) -> Array:
        """Normals of the cut faces it leaves, out of what is left: (2, 3), or (1, 3) for half."""
        turn = self.opening_deg / 2.0 - 90.0
        turns = (turn, -turn) if turn else (0.0,)
        angles = [radians(self.middle_deg + one) for one in turns]
        own = np.array([(cos(a), sin(a), 0.0) for a in angles])
        return own if self.frame == UPRIGHT else np.asarray(own @ np.array(self.frame))


@dataclass(frozen=True)
class Cutting:
    """How a ball is taken apart.

    Attributes:
        wedge: what is taken away, or None to cut nothing.
        cut: the parts that the wedge cuts, counted inside out from 0; the others stay whole.
        drawn: the parts that are there at all.
        apart: whether they are drawn away from one another, so that each needs all of its surface.
        fine: of their meshes.
    """

    wedge: Wedge | None
    cut: frozenset[int]
    drawn: frozenset[int]
    apart: bool = False
    fine: Fineness = FINE

    def wedge_through(self, part: int) -> Wedge | None:
        """What is taken from a part."""
        return self.wedge if part in self.cut else None


def shells_of(
    ball: Ball, cutting: Cutting, only: frozenset[int] | None = None
) -> tuple[Shell, ...]:
    """The surfaces of a cut ball, inside out; those of a part that cannot be seen are left out.

    Args:
        ball: what is cut.
        cutting: how, and what is drawn.
        only: the parts whose surfaces are asked for; all that are drawn if left out.

    Raises:
        KernelFault: the kernel's cut has not the volume that sampling finds.
    """
    solids = solids_of(ball)
    shells: list[Shell] = []
    with kernel():
        for index in sorted(cutting.drawn if only is None else only):
            wedge, lumps = cutting.wedge_through(index), solids[index].lumps
            left, used = (lumps, wedge) if wedge is None else _cut(ball, index, lumps, wedge)
            made = _shells(ball, index, left, cutting, used)
            if cutting.apart or any(_seen(ball, cutting, shell) for shell in made):
                shells += made
    return tuple(shells)


def _seen(ball: Ball, cutting: Cutting, shell: Shell) -> bool:
    """Whether any triangle has nothing drawn in front of it."""
    middles = shell.points_mm[shell.triangles].mean(axis=1)
    points = middles + _CLEAR_MM * shell.normals[shell.triangles].mean(axis=1)
    owner = _owners(ball, points)
    covered = np.isin(owner, list(cutting.drawn))
    if cutting.wedge is not None:
        covered &= ~(np.isin(owner, list(cutting.cut)) & cutting.wedge.contains(points))
    return not bool(covered.all())


def _cut(
    ball: Ball, index: int, lumps: Sequence[cq.Solid], wedge: Wedge
) -> tuple[list[cq.Solid], Wedge]:
    """A part outside the wedge, its volume held against sampling, and the wedge that cut it."""
    from shapes import solid
    from shapes.boundary import moments_of_solid
    from shapes.errors import SolidError

    points = _strewn(ball.radius_mm, _SAMPLES)
    kept = (_owners(ball, points) == index) & ~wedge.contains(points)
    box = (2.0 * ball.radius_mm) ** 3
    share = float(kept.mean())
    due = share * box
    said = ""
    for turn in _TURNS_DEG:
        turned = replace(wedge, middle_deg=wedge.middle_deg + turn)
        tool = _wedge_solid(turned, ball.radius_mm)
        try:
            left = [piece for lump in lumps for piece in solid.cut(lump, [tool])]
        except SolidError as error:
            said = str(error)
            continue
        volume = sum(moments_of_solid(piece).volume_mm3 for piece in left)
        likely = max(share, volume / box, 1.0 / _SAMPLES)
        wrong = _SPREAD * (likely * (1.0 - likely) / _SAMPLES) ** 0.5 * box
        if abs(volume - due) <= wrong:
            return left, turned
        said = f"{volume:.0f} mm3 are left where {due:.0f} mm3 are due"
    raise KernelFault(f"the cut through part '{ball.parts[index].name}' is wrong: {said}")


def _wedge_solid(wedge: Wedge, radius_mm: float) -> cq.Solid:
    """The wedge as a prism that reaches well beyond the ball."""
    import cadquery as cq

    half, reach = wedge.opening_deg / 2.0, 4.0 * radius_mm
    angles = [radians(wedge.middle_deg + half * share) for share in (-1.0, -0.4, 0.4, 1.0)]
    outline = [(reach * cos(a), reach * sin(a)) for a in angles]
    if wedge.opening_deg != 180.0:
        outline.insert(0, (0.0, 0.0))
    plane = cq.Workplane(origin=(0.0, 0.0, -2.0 * radius_mm))
    block = plane.polyline(outline).close().extrude(4.0 * radius_mm)
    found = cq.Solid(block.findSolid().wrapped)
    if wedge.frame == UPRIGHT:
        return found
    from shapes.solid import placed

    return placed(found, Placement.of(np.array(wedge.frame).T, np.zeros(3)))


def _shells(
    ball: Ball,
    index: int,
    lumps: Sequence[cq.Solid],
    cutting: Cutting,
    wedge: Wedge | None,
) -> list[Shell]:
    """The drawn surfaces of one part: its cut faces, one shell a plane, and all others together."""
    normals = wedge.normals() if wedge is not None else np.empty((0, 3))
    nearer = () if cutting.apart else range(index)
    earlier = [ball.bodies[k] for k in nearer if k in cutting.drawn]
    groups: list[list[Patch]] = [[] for _ in range(len(normals) + 1)]
    for lump in lumps:
        for patch in patches_of(lump, *cutting.fine):
            plane = _plane_of(patch, normals)
            if plane is None:
                patch = _without_shared(earlier, patch)
            groups[len(normals) if plane is None else plane].append(patch)
    return [
        together(index, k < len(normals), group)
        for k, group in enumerate(groups)
        if sum(len(patch.triangles) for patch in group)
    ]


def _plane_of(patch: Patch, normals: Array) -> int | None:
    """Which of the planes through the Z axis the face lies in, if any."""
    for k, normal in enumerate(normals):
        level = np.abs(patch.points_mm @ normal).max() <= _LEVEL_MM
        if level and patch.normals[0] @ normal > 0.99:
            return k
    return None


def _without_shared(earlier: Sequence[Placed], patch: Patch) -> Patch:
    """The patch without the triangles that lie on an earlier part's surface.

    There the outer side is in the earlier part and the inner side is not.
    """
    mean = patch.normals[patch.triangles].mean(axis=1)[:, None]
    outer = (patch.over_mm + _APART_MM * mean).reshape(-1, 3)
    inner = (patch.over_mm - _APART_MM * mean).reshape(-1, 3)
    shared = np.zeros(len(outer), dtype=bool)
    for body in earlier:
        shared |= _within(body, outer) & ~_within(body, inner)
    kept = ~shared.reshape(patch.over_mm.shape[:2]).all(axis=1)
    return replace(patch, triangles=patch.triangles[kept], over_mm=patch.over_mm[kept])


def _within(body: Placed, points: Array) -> Flags:
    return np.asarray(body.contains(points), dtype=bool)


def _owners(ball: Ball, points: Array) -> Indices:
    """Which part each point lies in, counted inside out; -1 outside the ball."""
    owner = np.full(len(points), -1, dtype=np.int64)
    free = np.linalg.norm(points, axis=1) <= ball.radius_mm
    if ball.bores:
        free &= ~ball.in_bores(points)
    for index, body in enumerate(ball.bodies):
        mine = free & _within(body, points)
        owner[mine] = index
        free &= ~mine
    return owner


def _strewn(radius_mm: float, count: int) -> Array:
    """Points spread evenly over the ball's box: fractions of multiples of three square roots."""
    steps = np.sqrt(np.array([2.0, 3.0, 5.0]))
    share = (0.5 + np.outer(np.arange(1, count + 1), steps)) % 1.0
    return np.asarray((2.0 * share - 1.0) * radius_mm)
