"""What the renderer's process is given and what it gives back, as files in a folder."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from pipeline.rods import Rod
from pipeline.scene import Camera, Surface
from shapes.moments import Array

Pixels = npt.NDArray[np.uint8]
Depth = npt.NDArray[np.float32]

NOTHING_MM = np.float32(1e6)  # the depth where nothing is drawn
_DIGITS = 6  # finer differences come from the processor, and would change single pixels
NO_LIBRARY = 3  # exit status: the system lacks a library


@dataclass(frozen=True, eq=False)
class Job:
    """What to render.

    Attributes:
        size: width and height, px.
        camera: where it is seen from.
        middle_mm: how far right of and above the ball's centre the middle of the picture lies.
        half_height_mm: from there to the picture's upper edge.
        reach_mm: the camera's distance; nothing lies further from the middle than this.
        surfaces: what is lit.
        rods: what is drawn over them in plain colours.
    """

    size: tuple[int, int]
    camera: Camera
    middle_mm: tuple[float, float]
    half_height_mm: float
    reach_mm: float
    surfaces: tuple[Surface, ...]
    rods: tuple[Rod, ...]


def write_job(job: Job, folder: Path) -> None:
    """Leave a job in a folder."""
    arrays: dict[str, npt.NDArray[Any]] = {}
    for k, surface in enumerate(job.surfaces):
        arrays[f"points{k}"] = np.round(surface.points_mm, _DIGITS)
        arrays[f"normals{k}"] = np.round(surface.normals, _DIGITS)
        arrays[f"triangles{k}"] = surface.triangles
    for k, rod in enumerate(job.rods):
        arrays[f"path{k}"] = np.round(rod.path_mm, _DIGITS)
    words = {
        "size": job.size,
        "camera": (job.camera.azimuth_deg, job.camera.elevation_deg),
        "frame": job.camera.frame,
        "middle_mm": [round(x, _DIGITS) for x in job.middle_mm],
        "half_height_mm": round(job.half_height_mm, _DIGITS),
        "reach_mm": round(job.reach_mm, _DIGITS),
        "surfaces": [(surface.colour, surface.finish) for surface in job.surfaces],
        "rods": [(rod.radii_mm, rod.colour) for rod in job.rods],
    }
    np.savez(folder / "job.npz", **arrays)  # type: ignore[arg-type]
    (folder / "job.json").write_text(json.dumps(words), encoding="utf-8")


def read_job(folder: Path) -> Job:
    """The job that was left in a folder."""
    words = json.loads((folder / "job.json").read_text(encoding="utf-8"))
    with np.load(folder / "job.npz") as arrays:
        surfaces = tuple(
            Surface(*(arrays[f"{name}{k}"] for name in ("points", "normals", "triangles")), *looks)
            for k, looks in enumerate(words["surfaces"])
        )
        rods = tuple(
            Rod(arrays[f"path{k}"], (radii[0], radii[1]), colour)
            for k, (radii, colour) in enumerate(words["rods"])
        )
    return Job(
        (words["size"][0], words["size"][1]),
        Camera(
            words["camera"][0],
            words["camera"][1],
            tuple((x, y, z) for x, y, z in words["frame"]),
        ),
        (words["middle_mm"][0], words["middle_mm"][1]),
        words["half_height_mm"],
        words["reach_mm"],
        surfaces,
        rods,
    )


def write_shot(pixels: Pixels, depth: Depth, folder: Path) -> None:
    """Leave what was rendered in a folder."""
    np.save(folder / "pixels.npy", pixels)
    np.save(folder / "depth.npy", depth)


def read_shot(folder: Path) -> tuple[Pixels, Array]:
    """Pixels of shape (h, w, 4), and depth in mm of shape (h, w), that were left in a folder."""
    return np.load(folder / "pixels.npy"), np.load(folder / "depth.npy")
