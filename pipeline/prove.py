"""The same figures by three routes that share no code, held against one another.

moments    the shapes' own parameters; no CAD kernel
boundary   contour integrals over the faces of the built solids
mesh       a closed triangle mesh of the solids, trimesh's integrals; a wider bound
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.kernel import kernel
from pipeline.solids import PartSolid, solids_of
from pipeline.units import G_PER_MM3, MM_PER_IN
from pipeline.weigh import BOUNDARY_RG_IN, MassProperties, combine, weigh
from shapes.moments import Array, Moments

if TYPE_CHECKING:
    from shapes.facets import Facets


@dataclass(frozen=True, eq=False)
class Route:
    """One way to the figures.

    Attributes:
        name: moments, boundary or mesh.
        properties: what it found; its bound says how far it may be off.
        seconds: how long it took, solids and meshes being there already.
    """

    name: str
    properties: MassProperties
    seconds: float


@dataclass(frozen=True, eq=False)
class Proof:
    """The routes that apply to a ball.

    Attributes:
        routes: the answer first.
        solids: the parts as solids, for whoever draws or writes them next.
        facets: their meshes, one a lump.
    """

    routes: tuple[Route, ...]
    solids: tuple[PartSolid, ...]
    facets: tuple[tuple[Facets, ...], ...]

    @property
    def disagreements(self) -> tuple[str, ...]:
        """A sentence for each pair of routes that differ by more than their bounds together."""
        found = []
        for k, a in enumerate(self.routes):
            for b in self.routes[k + 1 :]:
                found.extend(_differences(a, b))
        return tuple(found)


def prove(
    ball: Ball, answer: Route | None = None, mesh: tuple[float, float] | None = None
) -> Proof:
    """Weigh a ball by every route that applies.

    Args:
        ball: the ball.
        answer: the route to its figures where that is not the parts' own moments.
        mesh: chord, mm, and angle, radians, of the triangles; those of `shapes.facets` if left out.

    Raises:
        SystemLibraryError: the CAD kernel cannot be loaded.
        KernelFault: the kernel's solids are not what the design asks for.
    """
    own = answer or first_route(ball)
    routes = [own] if answer or ball.route == "moments" else []
    solids = solids_of(ball)
    with kernel():
        from shapes.boundary import moments_of_lumps
        from shapes.facets import ANGLE_RAD, CHORD_MM, facets_of, moments_of_facets

        def by_boundary() -> MassProperties:
            return combine(
                ball,
                [moments_of_lumps(one.lumps) for one in solids],
                BOUNDARY_RG_IN * MM_PER_IN,
                1e-7,
            )

        routes.append(timed("boundary", by_boundary))
        fine = (CHORD_MM, ANGLE_RAD) if mesh is None else mesh
        facets = tuple(tuple(facets_of(lump, *fine) for lump in one.lumps) for one in solids)

        def by_mesh() -> MassProperties:
            moments = [
                sum((moments_of_facets(f) for f in meshes), Moments.zero()) for meshes in facets
            ]
            return combine(ball, moments, *_mesh_bound(ball, facets, own.properties))

        routes.append(timed("mesh", by_mesh))
    return Proof(tuple(routes), solids, facets)


def first_route(ball: Ball) -> Route:
    """The route that `weigh` goes, timed."""
    return timed(ball.route, lambda: weigh(ball))


def timed(name: str, weigh_it: Callable[[], MassProperties]) -> Route:
    """A route to figures, timed."""
    start = time.perf_counter()
    properties = weigh_it()
    return Route(name, properties, time.perf_counter() - start)


def _mesh_bound(
    ball: Ball, facets: Sequence[Sequence[Facets]], own: MassProperties
) -> tuple[float, float]:
    """How far RG, mm, and mass, as a share, may be off when surface and mesh part by the sag seen.

    The volume between mesh and surface is at most sag times area, so m RG^2 moves by at most the
    sum over triangles of density x sag x area x (greatest distance from the centre)^2, and by
    RG^2 times the change of mass.
    """
    mass = moment = 0.0
    for part, meshes in zip(ball.parts, facets, strict=True):
        for mesh in meshes:
            area, reach = _areas(mesh)
            shell = area * mesh.sags_mm * part.density_g_cm3 * G_PER_MM3
            mass += float(shell.sum())
            moment += float((shell * reach**2).sum())
    rg = float(own.principal.rg_mm[0])
    return (moment / own.mass_g + rg**2 * mass / own.mass_g) / (2.0 * rg), mass / own.mass_g


def _areas(mesh: Facets) -> tuple[Array, Array]:
    """Area of each triangle, and the distance of its farthest corner from the ball's centre."""
    corners = mesh.corners_mm[mesh.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return (
        np.asarray(np.linalg.norm(cross, axis=1) / 2.0),
        np.asarray(np.linalg.norm(corners, axis=2).max(axis=1)),
    )


def _differences(a: Route, b: Route) -> list[str]:
    one, two = a.properties, b.properties
    found = []
    allowed = one.bound.rg_mm + two.bound.rg_mm
    gap = float(np.abs(one.principal.rg_mm - two.principal.rg_mm).max())
    if gap > allowed:
        found.append(
            f"{a.name} and {b.name} differ by {gap / MM_PER_IN:.2e} in of RG, more than their "
            f"bounds of {allowed / MM_PER_IN:.2e} in"
        )
    allowed = one.bound.mass_g + two.bound.mass_g
    gap = abs(one.mass_g - two.mass_g)
    if gap > allowed:
        found.append(
            f"{a.name} and {b.name} differ by {gap:.2e} g of mass, more than their bounds of "
            f"{allowed:.2e} g"
        )
    return found
