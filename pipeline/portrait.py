"""One shape alone as a picture: lit, on paper, with a scale bar, and no words."""

from __future__ import annotations

import io

import numpy as np

from pipeline.kernel import kernel
from pipeline.paint import paint
from pipeline.palette import CLAY
from pipeline.render import render
from pipeline.scene import Camera, Scene, Surface
from pipeline.sheet import Box, Scale, Sheet
from pipeline.shells import shell_of
from pipeline.units import MM_PER_IN
from shapes.shape import Shape

SIZE = (360, 360)
_CAMERA = Camera(-38.0, 21.0)


def portrait(shape: Shape, size: tuple[int, int] = SIZE, *, transparent: bool = False) -> bytes:
    """A shape as a PNG; the same shape and size give the same bytes.

    Args:
        shape: what is drawn, as drawn, its Z axis upwards.
        size: width and height, px.
        transparent: whether to leave paper and shadow out.

    Raises:
        KernelFault, SystemLibraryError, OutputError: its solid, or the picture, cannot be made.
    """
    scene = _scene(shape)
    sheet = _sheet(scene, size)
    image = paint(scene, sheet, render(scene, sheet), transparent=transparent)
    out = io.BytesIO()
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def _scene(shape: Shape) -> Scene:
    with kernel():
        shell = shell_of(shape.solid(), 0)
    middle = (shell.points_mm.max(axis=0) + shell.points_mm.min(axis=0)) / 2.0
    points = shell.points_mm - middle
    surface = Surface(points, shell.normals, shell.triangles, CLAY, "skin")
    floor = float(points[:, 2].min())
    reach = float(np.linalg.norm(points, axis=1).max())
    return Scene("", "", (), (), (), _CAMERA, (surface,), (), (), (), reach, floor)


def _sheet(scene: Scene, size: tuple[int, int]) -> Sheet:
    """The whole picture is stage; a scale bar of one inch stands in its corner."""
    em = max(9.0, min(size) / 34.0)
    px_per_mm = 0.46 * min(size) / scene.reach_mm
    at = (1.4 * em, size[1] - 3.4 * em)
    scale = Scale(at, 1, px_per_mm * MM_PER_IN)
    origin = (size[0] / 2.0, size[1] / 2.0)
    return Sheet(size, em, Box(0, 0, *size), origin, px_per_mm, (), (), scale)
