"""The pages that are opened, each made once in a run however many processes share it.

Beside the page of a design that ships lies what `weigh --json` prints of it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.ball import Part, build_ball
from pipeline.dossier.contents import Contents, contents
from pipeline.dossier.page import page_of
from pipeline.dossier.pictures import pictures
from pipeline.dossier.space import packed, space_of
from pipeline.dossier.writing import write_dossier
from pipeline.shells import Shell
from pipeline.uncollected import uncollected
from shapes.moments import Array
from tests.browser.designs import design_file, design_of

PATIENCE_S = 400.0
FINE = 87  # triangles along an edge of an octant: three parts have 300 000
WEIGHED = ("dunlin", "turnstone-drilled")
FINE_RADII_MM = (50.0, 89.535, 108.585)  # of the spheres that the fine page shows


def shared(folder: Path) -> Mapping[str, Path]:
    """All pages by name: whoever comes first makes one, the others wait for it."""
    for name, make in _JOBS.items():
        try:
            os.close(os.open(folder / f"{name}.claimed", os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        except FileExistsError:
            continue
        try:
            make(folder)
            (folder / f"{name}.done").touch()
        except BaseException:
            (folder / f"{name}.failed").write_text(traceback.format_exc(), encoding="utf-8")
            raise
    for name in _JOBS:
        _await(folder, name)
    return {page.stem: page for page in folder.glob("*.html")}


def _await(folder: Path, name: str) -> None:
    until = time.monotonic() + PATIENCE_S
    while not (folder / f"{name}.done").exists():
        failed = folder / f"{name}.failed"
        if failed.exists():
            raise RuntimeError(f"the page of {name} was not made:\n{failed.read_text('utf-8')}")
        if time.monotonic() > until:
            raise TimeoutError(f"the page of {name} was not made in {PATIENCE_S:.0f} s")
        time.sleep(0.1)


def _written(name: str) -> Callable[[Path], None]:
    def make(folder: Path) -> None:
        ball = build_ball(design_of(name))
        write_dossier(ball, folder / f"{name}.html", folder / f"{name}.pdf")

    return make


def _weighed(folder: Path) -> None:
    """By the command line, in processes of their own."""
    command = [sys.executable, "-c", "from pipeline.cli import main; main()", "weigh", "--json"]
    for name in WEIGHED:
        with (folder / f"{name}.json").open("wb") as out:
            subprocess.run([*command, str(design_file(name))], stdout=out, check=True)


def _dunlin(folder: Path) -> None:
    """Dunlin's page, and the same with a mesh of 300 000 triangles in its space."""
    with uncollected():
        found = contents(build_ball(design_of("dunlin")))
        taken = pictures(found)
        found.data["pictures"] = [one.row for one in taken]
        files = {one.picture.key: one.picture for one in taken}
        space = space_of(found)
        (folder / "dunlin.html").write_bytes(page_of(found.data, space, files))
        fine = {**space, "parts": _fine_parts(found)}
        (folder / "fine.html").write_bytes(page_of(found.data, fine, files))


def _fine_parts(found: Contents) -> list[dict[str, Any]]:
    """The parts as spheres one round the other."""
    rows = []
    inner = None
    for part, radius in zip(found.shown.parts, FINE_RADII_MM, strict=True):
        shells = [sphere(radius)] + ([] if inner is None else [_inward(sphere(inner))])
        rows.append(_row(part, shells))
        inner = radius
    return rows


def _row(part: Part, shells: list[Shell]) -> dict[str, Any]:
    return packed(part, shells)


def sphere(radius_mm: float, fine: int = FINE) -> Shell:
    """A sphere as an octahedron of 8 `fine`^2 triangles blown up."""
    points: list[Array] = []
    triangles: list[Array] = []
    steps = [(i, j, fine - i - j) for i in range(fine + 1) for j in range(fine + 1 - i)]
    number = {step: k for k, step in enumerate(steps)}
    faces = [
        [number[i, j, fine - i - j] for i, j in corners]
        for a in range(fine)
        for b in range(fine - a)
        for corners in (
            [(a, b), (a + 1, b), (a, b + 1)],
            *([[(a + 1, b), (a + 1, b + 1), (a, b + 1)]] if a + b < fine - 1 else []),
        )
    ]
    for signs in np.ndindex(2, 2, 2):
        octant = 1 - 2 * np.array(signs)
        turn = slice(None, None, int(octant.prod()))
        triangles.append(np.array(faces)[:, turn] + len(steps) * len(points))
        points.append(np.array(steps) * octant)
    corners = np.concatenate(points).astype(float)
    ways = corners / np.linalg.norm(corners, axis=1)[:, None]
    return Shell(0, False, radius_mm * ways, ways, np.concatenate(triangles))


def _inward(shell: Shell) -> Shell:
    return replace(shell, normals=-shell.normals, triangles=shell.triangles[:, ::-1])


_JOBS: Mapping[str, Callable[[Path], None]] = {
    "dunlin": _dunlin,
    "turnstone-drilled": _written("turnstone-drilled"),
    "hostile": _written("hostile"),
    "twelve": _written("twelve"),
    "weighed": _weighed,
}
