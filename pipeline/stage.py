"""Jobs on the renderer's stage: PyVista's meshes, VTK's lights, camera and window.

PyVista's own actors, lights and cameras are left alone: the first of them imports a whole plotting
library, of which nothing is drawn here.  A stage keeps its window and its meshes from one job to
the next, so that a second picture of the same bodies costs no more than to draw it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
import pyvista as pv
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  it makes the OpenGL classes known
from PIL import Image
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkLight,
    vtkRenderer,
    vtkRenderWindow,
)

from pipeline.actors import actor_of, bars_of, dressed, edge_actor
from pipeline.job import NOTHING_MM, Depth, Job, Pixels, Shot
from pipeline.line_work import inked
from pipeline.looks import Lamp
from pipeline.rods import Rod
from pipeline.scene import Finish, Pour, Surface
from shapes.moments import Array

# mesh, its place, drawn or lit, whether one sees through it, finish, pour, lamps, edges
_Key = tuple[int, int, bool, bool, Finish, Pour | None, tuple[Lamp, ...], bool]


class Stage:
    """A window with what stands in front of its camera.

    Surfaces are drawn first.  Rods are a second layer that keeps the first one's depth, so that
    they come as a picture of their own, with what the surfaces hide of them left out.
    """

    def __init__(self, window: vtkRenderWindow) -> None:
        self._window = window
        self._solid, self._over = _layer(0), _layer(1)
        self._over.SetPreserveDepthBuffer(True)
        self._over.SetPreserveColorBuffer(False)
        self._edges = _layer(0)  # normals and parts as colours, for line-work
        self._actors: dict[_Key, vtkActor] = {}
        self._meshes: dict[int, tuple[Array, pv.PolyData]] = {}
        self._bars: dict[tuple[str, str, bytes], vtkActor] = {}
        window.SetOffScreenRendering(True)
        window.SetMultiSamples(0)  # translucent layers vanish with it
        window.SetAlphaBitPlanes(1)
        window.SetNumberOfLayers(2)
        for renderer in (self._solid, self._edges, self._over):
            window.AddRenderer(renderer)
            renderer.SetActiveCamera(self._solid.GetActiveCamera())
        _light((self._solid, self._edges))
        self._bytes, self._floats = vtkUnsignedCharArray(), vtkFloatArray()

    def shoot(self, job: Job) -> Shot:
        """One picture of a job; meshes are known again by their arrays."""
        self._window.SetSize(job.size[0] * job.fine, job.size[1] * job.fine)
        _aim(self._solid, job)
        self._set(job)
        pixels, raw = self._pixels(self._solid, job), self._raw_depth(job)
        depth = _in_mm(_farthest(raw, job.fine), job)
        if job.manner == "drawn":
            tints, deep = pixels.copy(), _in_mm(raw, job)
            pixels = inked(tints, self._pixels(self._edges, job), deep, job.fine)
        ball = _reduced(pixels, job.fine)
        if not job.rods:
            return Shot(ball, np.zeros_like(ball), depth)
        return Shot(ball, _reduced(self._pixels(self._over, job), job.fine), depth)

    def close(self) -> None:
        """Give the window back; a stage that is left open keeps some ten megabytes."""
        self._window.Finalize()

    def _set(self, job: Job) -> None:
        """Put on stage what the job has, and take off what it has not."""
        drawn = job.manner == "drawn"
        wanted: dict[_Key, vtkActor] = {}
        turns: Counter[int] = Counter()  # one mesh may stand in several places
        for surface in job.surfaces:
            mesh = self._mesh(surface)
            turns[id(mesh)] += 1
            for edges in (False, True) if drawn else (False,):
                clear = surface.opacity < 1.0
                own = (drawn, clear, surface.finish, surface.pour, job.lamps)
                key = (id(mesh), turns[id(mesh)], *own, edges)
                actor = self._actors.get(key)
                if actor is None:
                    actor = (
                        edge_actor(mesh)
                        if edges
                        else actor_of(mesh, surface, job.lamps, drawn=drawn)
                    )
                    (self._edges if edges else self._solid).AddActor(actor)
                dressed(actor, surface, edges=edges, drawn=drawn)
                wanted[key] = actor
        for key, actor in self._actors.items():
            if key not in wanted:
                (self._edges if key[-1] else self._solid).RemoveActor(actor)
        self._actors = wanted
        for renderer, edges in ((self._solid, False), (self._edges, True)):
            props = renderer.GetViewProps()  # in the job's order, since clear ones are mixed in it
            props.RemoveAllItems()
            for key, actor in wanted.items():
                if key[-1] == edges:
                    props.AddItem(actor)
        kept = {id(s.points_mm) for s in job.surfaces}
        self._meshes = {key: value for key, value in self._meshes.items() if key in kept}
        self._set_rods(job)

    def _set_rods(self, job: Job) -> None:
        """The same for its rods, those of a colour together; they are kept while they are alike."""
        groups: dict[str, list[Rod]] = {}
        for rod in job.rods:
            groups.setdefault(rod.colour, []).append(rod)
        wanted = {}
        for rods in groups.values():
            shape = b"".join(rod.path_mm.tobytes() for rod in rods)
            key = (rods[0].colour, repr([rod.radii_mm for rod in rods]), shape)
            wanted[key] = self._bars.get(key) or bars_of(rods)
        for key, actor in self._bars.items():
            if key not in wanted:
                self._over.RemoveActor(actor)
        for key, actor in wanted.items():
            if key not in self._bars:
                self._over.AddActor(actor)
        self._bars = wanted

    def _mesh(self, surface: Surface) -> pv.PolyData:
        key = id(surface.points_mm)
        if key not in self._meshes:
            faces: Any = surface.triangles  # the library's own types know no sized integers
            mesh: pv.PolyData = pv.PolyData.from_regular_faces(surface.points_mm, faces)
            mesh.point_data.active_normals = surface.normals
            if surface.tints is not None:
                mesh.point_data["tints"] = np.asarray(surface.tints, dtype=np.float32)
            self._meshes[key] = (surface.points_mm, mesh)  # so that no address is used twice
        return self._meshes[key][1]

    def _draw(self, renderer: vtkRenderer) -> None:
        for other in (self._solid, self._edges, self._over):
            other.SetDraw(other is renderer)
        self._window.Render()

    def _pixels(self, renderer: vtkRenderer, job: Job) -> Pixels:
        """A layer drawn alone: shape (h, w, 4), the lowest row first; good until the next call."""
        self._draw(renderer)
        wide, high = (n * job.fine for n in job.size)
        if tuple(self._window.GetSize()) != (wide, high):
            found = self._window.GetSize()
            raise RuntimeError(f"the window is {found} px where {(wide, high)} are due")
        self._window.GetRGBACharPixelData(0, 0, wide - 1, high - 1, 0, self._bytes, 0)
        return np.asarray(pv.convert_array(self._bytes)).reshape(high, wide, 4)

    def _raw_depth(self, job: Job) -> Depth:
        """Of what was drawn last, from 0 to 1: shape (h, w), the lowest row first."""
        wide, high = (n * job.fine for n in job.size)
        self._window.GetZbufferData(0, 0, wide - 1, high - 1, self._floats)
        return np.asarray(pv.convert_array(self._floats)).reshape(high, wide)


def _layer(number: int) -> vtkRenderer:
    renderer = vtkRenderer()
    renderer.SetLayer(number)
    renderer.SetBackground(0.0, 0.0, 0.0)
    renderer.SetBackgroundAlpha(0.0)
    renderer.SetAutomaticLightCreation(False)
    renderer.SetUseOIT(False)  # layers come inside out, so that plain mixing is right
    return renderer


def _aim(renderer: vtkRenderer, job: Job) -> None:
    """The camera, in parallel projection."""
    right, up, toward = job.camera.axes()
    middle = job.middle_mm[0] * right + job.middle_mm[1] * up
    camera = renderer.GetActiveCamera()
    camera.ParallelProjectionOn()
    camera.SetFocalPoint(*middle)
    camera.SetPosition(*(middle + job.reach_mm * toward))
    camera.SetViewUp(*up)
    camera.SetParallelScale(job.half_height_mm)
    camera.SetClippingRange(0.0, 2.0 * job.reach_mm)


def _light(renderers: Sequence[vtkRenderer]) -> None:
    """A lamp, whatever it gives: without any, surfaces have no normals at hand."""
    for renderer in renderers:
        renderer.AddLight(vtkLight())


def _reduced(pixels: Pixels, fine: int) -> Pixels:
    """Means over squares, the upper row first; of colours times alpha, so plain ones are right."""
    high, wide = pixels.shape[:2]
    # four bands of equal standing: the library would divide by an alpha
    bands = Image.frombuffer("CMYK", (wide, high), pixels, "raw", "CMYK", 0, 1)
    return np.ascontiguousarray(np.asarray(bands.reduce(fine) if fine > 1 else bands)[::-1])


def _farthest(depth: Depth, fine: int) -> Depth:
    """The greatest depth of each square, the upper row first."""
    if fine == 2:
        rows = np.maximum(depth[0::2], depth[1::2])
        depth = np.maximum(rows[:, 0::2], rows[:, 1::2])
    return depth[::-1]


def _in_mm(depth: Depth, job: Job) -> Depth:
    """Depth from 0 to 1 as mm from the camera."""
    return np.where(depth < 1.0, depth * np.float32(2.0 * job.reach_mm), NOTHING_MM)
