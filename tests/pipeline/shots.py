"""Scenes rendered for tests, many by one renderer, and what their pixels are held against.

Colour differences are CIE 1976 L*a*b* of sRGB (IEC 61966-2-1) at D65; all from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pipeline.arrange import Page, lay_out
from pipeline.figure_views import sphere_mesh
from pipeline.job import NOTHING_MM, Shot
from pipeline.looks import SHORE, Look
from pipeline.palette import rgb
from pipeline.render import Renderer, job_of
from pipeline.scene import Camera, Pour, Scene, Surface
from pipeline.sheet import Sheet
from pipeline.staging import reach_of
from tests.pipeline.plain_scene import plain_scene

SIZE = (480, 360)
BARE = Page(card=False, labels=False)
_TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
_WHITE = np.array([0.95047, 1.0, 1.08883])


@dataclass(frozen=True, eq=False)
class Taken:
    """A scene as it was rendered: pixels of the stage, shape (h, w, 4), the upper row first."""

    scene: Scene
    sheet: Sheet
    shot: Shot

    @property
    def colours(self) -> NDArray[np.int64]:
        """Of the bodies, 0 to 255; shape (h, w, 3)."""
        return self.shot.ball[..., :3].astype(np.int64)

    def middles_mm(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """How far right of and above the ball's centre the middle of each pixel lies."""
        high, wide = self.shot.ball.shape[:2]
        x = np.arange(wide) + 0.5 + self.sheet.stage.left - self.sheet.origin[0]
        y = self.sheet.origin[1] - (np.arange(high) + 0.5 + self.sheet.stage.top)
        right, up = np.meshgrid(x / self.sheet.px_per_mm, y / self.sheet.px_per_mm)
        return right, up

    def places_mm(self) -> NDArray[np.float64]:
        """Where the surface is that each pixel shows, shape (h, w, 3); NaN where none is."""
        right, up = self.middles_mm()
        deep = self.shot.depth_mm.astype(float)
        toward = 3.0 * self.scene.reach_mm - deep
        flat = np.stack([right, up, toward], axis=-1) @ self.scene.camera.axes()
        flat[deep >= float(NOTHING_MM)] = np.nan
        return np.asarray(flat)

    def pixel_of(self, points_mm: NDArray[np.float64]) -> tuple[NDArray[np.int64], ...]:
        """The rows and columns in which points, shape (n, 3), fall."""
        flat = self.scene.camera.project(points_mm) * self.sheet.px_per_mm
        column = flat[:, 0] + self.sheet.origin[0] - self.sheet.stage.left
        row = self.sheet.origin[1] - flat[:, 1] - self.sheet.stage.top
        return np.floor(row).astype(np.int64), np.floor(column).astype(np.int64)


class Album:
    """Pictures by one renderer, each of which is taken once."""

    def __init__(self, renderer: Renderer) -> None:
        self._renderer = renderer
        self._kept: dict[tuple[int, tuple[int, int], str, Page], Taken] = {}

    def take(
        self,
        scene: Scene,
        size: tuple[int, int] = SIZE,
        look: Look = SHORE,
        page: Page = BARE,
    ) -> Taken:
        key = id(scene), size, look.name, page
        if key not in self._kept:  # which keeps the scene too, so that no address is used twice
            sheet = lay_out(scene, size, page)
            self._renderer.send(job_of(scene, sheet, look))
            shot = self._renderer.fetch()
            copy = Shot(shot.ball.copy(), shot.over.copy(), shot.depth_mm.copy())
            self._kept[key] = Taken(scene, sheet, copy)
        return self._kept[key]


@contextmanager
def album() -> Iterator[Album]:
    with Renderer() as renderer:
        yield Album(renderer)


def bodies(camera: Camera, *surfaces: Surface) -> Scene:
    """Surfaces alone, seen from there."""
    return replace(
        plain_scene(), camera=camera, surfaces=surfaces, axes=(), marks=(), labels=(),
        reach_mm=reach_of(surfaces),
    )  # fmt: skip


def toward(azimuth_deg: float, elevation_deg: float) -> NDArray[np.float64]:
    """The unit vector to a viewer, as docs/pictures.md has it: azimuth from +X about +Z."""
    a, e = np.radians(azimuth_deg), np.radians(elevation_deg)
    return np.array([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)])


def linear(colour: str) -> NDArray[np.float64]:
    """'#RRGGBB' as linear light."""
    share = np.array(rgb(colour))
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def lab(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Linear light, shape (..., 3), as L*, a* and b*."""
    xyz = np.clip(light, 0.0, 1.0) @ _TO_XYZ.T / _WHITE
    f = np.where(xyz > 216.0 / 24389.0, np.cbrt(xyz), (24389.0 / 27.0 * xyz + 16.0) / 116.0)
    x, y, z = np.moveaxis(f, -1, 0)
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def lightness(tints: NDArray[np.float64]) -> NDArray[np.float64]:
    """L* of colours, shape (n, 3), sRGB from 0 to 1."""
    light = np.where(tints <= 0.04045, tints / 12.92, ((tints + 0.055) / 1.055) ** 2.4)
    return lab(light)[..., 0]


def globe(radius_mm: float, colour: str = "#B5482A", pour: Pour | None = None) -> Surface:
    """A sphere about the origin, of ten thousands of triangles."""
    directions, triangles = sphere_mesh()
    return Surface(
        radius_mm * directions, directions, triangles, colour, "skin", 0, "core", pour=pour
    )
