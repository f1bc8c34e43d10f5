"""A job on the renderer's stage: PyVista's meshes, VTK's lights, camera and window.

PyVista's own actors, lights and cameras are left alone: the first of them imports a whole plotting
library, of which nothing is drawn here.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pyvista as pv
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  it makes the OpenGL classes known
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkLight,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
)

from pipeline.job import NOTHING_MM, Depth, Job, Pixels
from pipeline.palette import rgb
from pipeline.rods import Rod
from pipeline.scene import Finish, Surface

_SIDES = 24  # of a rod
_LIGHTS = (  # where from, as right, up and towards the viewer, and how strong
    ((-0.55, 0.80, 0.75), 1.95),
    ((0.95, 0.25, 0.75), 1.15),
    ((0.0, 0.1, 1.0), 1.10),
    ((0.15, -1.0, 0.25), 0.45),
)


def shoot(job: Job, window: vtkRenderWindow) -> tuple[Pixels, Depth]:
    """One picture: pixels of shape (h, w, 4), and depth in mm of shape (h, w).

    The depth is that of the surfaces; where an axis is in front of them it says that nothing is.
    """
    renderer = vtkRenderer()
    renderer.SetBackground(0.0, 0.0, 0.0)
    renderer.SetBackgroundAlpha(0.0)
    renderer.SetAutomaticLightCreation(False)
    for surface in job.surfaces:
        renderer.AddActor(_actor(_mesh(surface), surface.colour, surface.finish))
    _aim(renderer, job)
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(0)
    window.SetAlphaBitPlanes(1)
    window.SetSize(*job.size)
    window.AddRenderer(renderer)
    try:
        window.Render()
        depth = _depth(window, job)
        for rod in job.rods:
            renderer.AddActor(_actor(_bar(rod), rod.colour, "ink"))
        window.Render()
        return _pixels(window, job), np.where(_depth(window, job) < depth, NOTHING_MM, depth)
    finally:
        window.Finalize()


def _mesh(surface: Surface) -> pv.PolyData:
    faces: Any = surface.triangles  # the library's own types know no sized integers
    mesh: pv.PolyData = pv.PolyData.from_regular_faces(surface.points_mm, faces)
    mesh.point_data.active_normals = surface.normals
    return mesh


def _bar(rod: Rod) -> pv.PolyData:
    line = pv.MultipleLines(rod.path_mm)
    line.point_data["radius"] = np.linspace(*rod.radii_mm, len(rod.path_mm))
    bar: pv.PolyData = line.tube(scalars="radius", absolute=True, n_sides=_SIDES)
    return bar


def _actor(mesh: pv.PolyData, colour: str, finish: Finish) -> vtkActor:
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(mesh)
    mapper.ScalarVisibilityOff()
    actor = vtkActor()
    actor.SetMapper(mapper)
    looks = actor.GetProperty()
    if finish == "ink":
        looks.LightingOff()
        looks.SetColor(*rgb(colour))
        return actor
    looks.SetInterpolationToPBR()
    linear = (share**2.2 for share in rgb(colour))  # this shading takes and mixes linear light
    looks.SetColor(*linear)
    looks.SetMetallic(0.0)
    looks.SetRoughness({"skin": 0.42, "cut": 1.0}[finish])
    looks.SetBaseIOR({"skin": 1.38, "cut": 1.0}[finish])  # a cut face has no shine at all
    return actor


def _aim(renderer: vtkRenderer, job: Job) -> None:
    """The camera, in parallel projection, and the lights, which stand fixed beside it."""
    right, up, toward = job.camera.axes()
    middle = job.middle_mm[0] * right + job.middle_mm[1] * up
    camera = renderer.GetActiveCamera()
    camera.ParallelProjectionOn()
    camera.SetFocalPoint(*middle)
    camera.SetPosition(*(middle + job.reach_mm * toward))
    camera.SetViewUp(*up)
    camera.SetParallelScale(job.half_height_mm)
    camera.SetClippingRange(0.0, 2.0 * job.reach_mm)
    for (x, y, z), strength in _LIGHTS:
        light = vtkLight()
        light.PositionalOff()
        light.SetFocalPoint(0.0, 0.0, 0.0)
        light.SetPosition(*(x * right + y * up + z * toward))
        light.SetIntensity(strength)
        renderer.AddLight(light)


def _pixels(window: vtkRenderWindow, job: Job) -> Pixels:
    wide, high = job.size
    if tuple(window.GetSize()) != (wide, high):
        raise RuntimeError(f"the window is {window.GetSize()} px where {(wide, high)} are due")
    found = vtkUnsignedCharArray()
    window.GetRGBACharPixelData(0, 0, wide - 1, high - 1, 0, found, 0)
    return np.ascontiguousarray(pv.convert_array(found).reshape(high, wide, 4)[::-1])


def _depth(window: vtkRenderWindow, job: Job) -> Depth:
    wide, high = job.size
    found = vtkFloatArray()
    window.GetZbufferData(0, 0, wide - 1, high - 1, found)
    depth = pv.convert_array(found).reshape(high, wide)[::-1]
    return np.where(depth < 1.0, depth * np.float32(2.0 * job.reach_mm), NOTHING_MM)
