"""What stands on the renderer's stage: bodies as they take light, and bars in plain colours."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyvista as pv
from vtkmodules.vtkCommonMath import vtkMatrix4x4
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

from pipeline.lighting import program
from pipeline.looks import Lamp
from pipeline.palette import rgb
from pipeline.pours import ROUGHNESS, VERTEX, fragment
from pipeline.rods import Rod
from pipeline.scene import Pose, Surface

_SIDES = 24  # of a rod
_REFRACTION = 1.38
_PALE = 0.62  # how far tints of line-work go towards white
_EDGES = "  fragOutput0 = vec4(normalVCVSOutput.xy * 0.5 + 0.5, diffuseColor.r, 1.0);\n"
_SHADED = "  fragOutput0 = vec4(diffuseColor * ({} + {} * normalVCVSOutput.z), opacity);\n"
_RIM = (  # a clear shell shows at its rim, where one looks through more of it
    "  fragOutput0.a *= mix(0.30, 2.6, pow(1.0 - clamp(normalVCVSOutput.z, 0.0, 1.0), 2.5));\n"
)
_LIGHT = "//VTK::Light::Impl"


def actor_of(
    mesh: pv.PolyData, surface: Surface, lamps: Sequence[Lamp], *, drawn: bool
) -> vtkActor:
    """A body that is seen from its outer side alone."""
    actor, mapper = _plain(mesh)
    if surface.tints is not None:
        mapper.SetColorModeToDirectScalars()
        mapper.SetScalarModeToUsePointFieldData()
        mapper.SelectColorArray("tints")
        mapper.ScalarVisibilityOn()
    looks = actor.GetProperty()
    if surface.finish == "ink":
        looks.LightingOff()
        return actor
    if drawn or surface.finish == "map":
        light, more = (0.90, 0.10) if drawn else (0.74, 0.26)
        light_here = _SHADED.format(light, more)
    else:
        light_here = program(lamps, *_shine(surface))
        if surface.opacity < 1.0:
            light_here += _RIM
    shaders = actor.GetShaderProperty()
    shaders.AddFragmentShaderReplacement(_LIGHT, True, light_here, False)
    pour = surface.pour
    if pour is not None and pour.kind != "solid" and not drawn:
        for before, after in VERTEX:
            shaders.AddVertexShaderReplacement(before, True, after, False)
        for before, after in fragment(pour):
            shaders.AddFragmentShaderReplacement(before, True, after, False)
    return actor


def _shine(surface: Surface) -> tuple[float, float]:
    """Roughness, and index of refraction; a cut face has no shine at all."""
    if surface.finish != "skin":
        return 1.0, 1.0
    return ROUGHNESS[surface.pour.kind if surface.pour else "solid"], _REFRACTION


def edge_actor(mesh: pv.PolyData) -> vtkActor:
    """The same body with its normals, and the number of its part, as colours."""
    actor, _ = _plain(mesh)
    actor.GetShaderProperty().AddFragmentShaderReplacement(_LIGHT, True, _EDGES, False)
    return actor


def dressed(actor: vtkActor, surface: Surface, *, edges: bool, drawn: bool) -> None:
    """Give an actor the colour, the opacity and the place of its surface."""
    looks = actor.GetProperty()
    if edges:
        number = (2 * surface.part + 4 + (surface.finish in ("cut", "stroke", "map"))) % 251 + 2
        looks.SetColor(number / 255.0, 0.0, 0.0)
        actor.SetVisibility(surface.opacity >= 1.0 and surface.part >= 0)
    elif drawn and surface.finish not in ("stroke", "map"):
        looks.SetColor(*(1.0 - (1.0 - share) * (1.0 - _PALE) for share in rgb(surface.colour)))
    elif drawn or surface.finish in ("ink", "map"):
        looks.SetColor(*rgb(surface.colour))
    else:  # this shading takes and mixes linear light
        looks.SetColor(*(share**2.2 for share in rgb(surface.colour)))
    looks.SetOpacity(1.0 if edges else surface.opacity)
    actor.SetUserMatrix(_matrix(surface.pose))


def bars_of(rods: Sequence[Rod]) -> vtkActor:
    """Round bars of one colour, as one body without light."""
    paths = [rod.path_mm for rod in rods]
    counts = np.array([len(path) for path in paths])
    starts = np.cumsum(counts) - counts
    lines = pv.PolyData()
    lines.points = np.concatenate(paths)
    lines.lines = np.concatenate(
        [[n, *range(start, start + n)] for n, start in zip(counts, starts, strict=True)]
    )
    lines.point_data["radius"] = np.concatenate(
        [np.linspace(*rod.radii_mm, len(rod.path_mm)) for rod in rods]
    )
    bars: pv.PolyData = lines.tube(scalars="radius", absolute=True, n_sides=_SIDES)
    actor, _ = _plain(bars, culled=False)
    looks = actor.GetProperty()
    looks.LightingOff()
    looks.SetColor(*rgb(rods[0].colour))
    return actor


def _plain(mesh: pv.PolyData, *, culled: bool = True) -> tuple[vtkActor, vtkPolyDataMapper]:
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(mesh)
    mapper.ScalarVisibilityOff()
    mapper.SetVBOShiftScaleMethod(0)  # swirls go by true places
    actor = vtkActor()
    actor.SetMapper(mapper)
    actor.GetProperty().SetBackfaceCulling(culled)
    return actor, mapper


def _matrix(pose: Pose) -> vtkMatrix4x4:
    matrix = vtkMatrix4x4()
    for k in range(3):
        for j in range(3):
            matrix.SetElement(j, k, pose.frame[k][j])
        matrix.SetElement(k, 3, pose.shift_mm[k])
    return matrix
