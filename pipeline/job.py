"""What the renderer's process is given and what it gives back: a line of words, arrays as files."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from pipeline.looks import Lamp, Manner
from pipeline.rods import Rod
from pipeline.scene import Camera, Pose, Pour, Surface
from shapes.moments import Array

Pixels = npt.NDArray[np.uint8]
Depth = npt.NDArray[np.float32]

NOTHING_MM = np.float32(1e6)  # the depth where nothing is drawn
_DIGITS = 6  # finer differences come from the processor, and would change single pixels
NO_LIBRARY = 3  # exit status: the system lacks a library
_ARRAYS = ("points_mm", "normals", "triangles", "tints")
SLOTS = 2  # one picture is looked at while the next one is rendered


@dataclass(frozen=True, eq=False)
class Job:
    """What to render.

    Attributes:
        size: width and height, px.
        fine: it is drawn at so many times that size, and reduced.
        camera: where it is seen from.
        middle_mm: how far right of and above the ball's centre the middle of the picture lies.
        half_height_mm: from there to the picture's upper edge.
        reach_mm: the camera's distance; nothing lies further from the middle than this.
        manner: lit, or drawn with lines and flat tints.
        lamps: what lights it.
        surfaces: what is lit.
        rods: what is drawn over them in plain colours.
    """

    size: tuple[int, int]
    fine: int
    camera: Camera
    middle_mm: tuple[float, float]
    half_height_mm: float
    reach_mm: float
    manner: Manner
    lamps: tuple[Lamp, ...]
    surfaces: tuple[Surface, ...]
    rods: tuple[Rod, ...]


@dataclass(frozen=True, eq=False)
class Shot:
    """What was rendered: colours times alpha, so that one lies over another by adding.

    Attributes:
        ball: shape (h, w, 4), the surfaces.
        over: shape (h, w, 4), what is in plain colours and not hidden by them.
        depth_mm: shape (h, w), of the surfaces that hide what lies behind; NOTHING_MM elsewhere.
    """

    ball: Pixels
    over: Pixels
    depth_mm: Depth


class Meshes:
    """The meshes that a renderer has: each is sent once, and known by its number from then on."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        # with the surfaces themselves, so that no address is used twice
        self._known: dict[tuple[int, int], tuple[int, Surface]] = {}
        self._next = 0

    def numbers(self, job: Job) -> list[int]:
        """The number of every surface's mesh; new ones are left in the folder, old ones dropped."""
        keys = [(id(s.points_mm), id(s.tints)) for s in job.surfaces]
        known = {}
        for key, surface in zip(keys, job.surfaces, strict=True):
            if key in self._known:
                known[key] = self._known[key]
            elif key not in known:
                known[key] = (self._next, surface)
                self._save(surface, self._folder / f"mesh{self._next}.npz")
                self._next += 1
        self._known = known
        return [known[key][0] for key in keys]

    @staticmethod
    def _save(surface: Surface, path: Path) -> None:
        kept = {name: getattr(surface, name) for name in _ARRAYS}
        arrays = {
            name: value if name == "triangles" else np.round(value, _DIGITS)
            for name, value in kept.items()
            if value is not None
        }
        np.savez(path, **arrays)


def said(job: Job, numbers: list[int]) -> str:
    """A job as one line of text; its meshes by their numbers."""
    camera = job.camera
    return json.dumps(
        {
            "size": job.size,
            "fine": job.fine,
            "camera": (camera.azimuth_deg, camera.elevation_deg, camera.frame),
            "middle_mm": [round(x, _DIGITS) for x in job.middle_mm],
            "half_height_mm": round(job.half_height_mm, _DIGITS),
            "reach_mm": round(job.reach_mm, _DIGITS),
            "manner": job.manner,
            "lamps": [(lamp.way, lamp.strength) for lamp in job.lamps],
            "surfaces": [
                (number, *_looks(surface))
                for number, surface in zip(numbers, job.surfaces, strict=True)
            ],
            "rods": [
                (np.round(rod.path_mm, _DIGITS).tolist(), rod.radii_mm, rod.colour)
                for rod in job.rods
            ],
        }
    )


def _looks(surface: Surface) -> tuple[Any, ...]:
    pour, pose = surface.pour, surface.pose
    return (
        surface.colour,
        surface.finish,
        surface.part,
        round(surface.opacity, 4),
        None if pour is None else (pour.kind, pour.second, pour.seed),
        ([round(x, _DIGITS) for x in pose.shift_mm], pose.frame),
    )


def heard(line: str, meshes: dict[int, dict[str, Array]]) -> Job:
    """The job that a line tells of, with meshes by their numbers; see `arrays_of`."""
    words = json.loads(line)
    azimuth, elevation, frame = words["camera"]
    return Job(
        (words["size"][0], words["size"][1]),
        words["fine"],
        Camera(azimuth, elevation, _frame(frame)),
        (words["middle_mm"][0], words["middle_mm"][1]),
        words["half_height_mm"],
        words["reach_mm"],
        words["manner"],
        tuple(Lamp(tuple(way), strength) for way, strength in words["lamps"]),
        tuple(_surface(meshes[number], *looks) for number, *looks in words["surfaces"]),
        tuple(
            Rod(np.array(path), (radii[0], radii[1]), colour)
            for path, radii, colour in words["rods"]
        ),
    )


def numbers_in(line: str) -> list[int]:
    """The numbers of the meshes that a line tells of."""
    return [number for number, *_ in json.loads(line)["surfaces"]]


def arrays_of(folder: Path, number: int) -> dict[str, Array]:
    """The arrays of a mesh that was left in a folder."""
    with np.load(folder / f"mesh{number}.npz") as arrays:
        return {name: arrays[name] for name in arrays.files}


def _surface(
    arrays: dict[str, Array], colour: str, finish: Any, part: int, opacity: float,
    pour: list[Any] | None, pose: list[Any],
) -> Surface:  # fmt: skip
    return Surface(
        arrays["points_mm"],
        arrays["normals"],
        arrays["triangles"].astype(np.int64),
        colour,
        finish,
        part,
        "",
        opacity,
        None if pour is None else Pour(*pour),
        arrays.get("tints"),
        Pose((pose[0][0], pose[0][1], pose[0][2]), _frame(pose[1])),
    )


def _frame(rows: Any) -> Any:
    return tuple((x, y, z) for x, y, z in rows)


def tray(folder: Path, size: tuple[int, int], slot: int, *, new: bool = False) -> Shot:
    """Room for a shot in a folder's file, which both processes see.

    Args:
        folder: where the file lies.
        size: width and height, px.
        slot: which of SLOTS.
        new: whether to make the file.
    """
    wide, high = size
    name = folder / f"shot-{wide}x{high}-{slot}.raw"
    room = np.memmap(name, np.uint8, "w+" if new else "r+", shape=(high, wide, 12))
    flat = room.reshape(-1)
    step = 4 * wide * high
    ball, over = (flat[k * step : (k + 1) * step].reshape(high, wide, 4) for k in (0, 1))
    depth = flat[2 * step :].view(np.float32).reshape(high, wide)
    return Shot(ball, over, depth)
