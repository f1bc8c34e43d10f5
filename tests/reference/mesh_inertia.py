"""Mass properties of a triangle mesh by MuJoCo's compiler, which shares no code with the product.

MuJoCo sums tetrahedra from the mesh's centre to its triangles, exactly for a closed mesh.
"""

from __future__ import annotations

import mujoco
import numpy as np

from shapes.facets import Facets
from shapes.moments import Array, Moments

_SINGLE_MM = 1e-5  # MuJoCo keeps corners in single precision


def mesh_moments(facets: Facets) -> Moments:
    """Moments about the origin of the mesh's frame."""
    spec = mujoco.MjSpec()
    spec.compiler.balanceinertia = False
    spec.add_mesh(
        name="mesh",
        uservert=facets.corners_mm.ravel().tolist(),
        userface=facets.triangles.ravel().tolist(),
        inertia=mujoco.mjtMeshInertia.mjMESH_INERTIA_EXACT,
    )
    body = spec.worldbody.add_body(name="body")
    body.add_freejoint()
    body.add_geom(type=mujoco.mjtGeom.mjGEOM_MESH, meshname="mesh", density=1.0)
    model = spec.compile()
    index = model.body("body").id
    volume, centre = float(model.body_mass[index]), np.array(model.body_ipos[index])
    axes = np.empty(9)
    mujoco.mju_quat2Mat(axes, model.body_iquat[index])
    turn = axes.reshape(3, 3)
    inertia = turn @ np.diag(model.body_inertia[index]) @ turn.T
    central = np.trace(inertia) / 2 * np.eye(3) - inertia
    return Moments(volume, volume * centre, central + volume * np.outer(centre, centre))


def layer(facets: Facets, about: Array) -> tuple[float, float]:
    """The most that volume, and second moment about a point, can lie between mesh and surface.

    Over each triangle the surface stays within its sag, so the layer holds no more than area times
    sag, none of it much farther away than the triangle's farthest corner.
    """
    corners = facets.corners_mm[facets.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    held = np.linalg.norm(cross, axis=1) / 2 * (facets.sags_mm + _SINGLE_MM)
    reach = np.linalg.norm(corners - about, axis=2).max(axis=1) + facets.sags_mm
    return float(held.sum()), float((held * reach**2).sum())
