"""Views that draw figures: densities, the inertia ellipsoid, RG over the sphere."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pipeline.ball import Ball
from pipeline.digits import inches
from pipeline.flare import constant_rg
from pipeline.palette import hex_of, rgb
from pipeline.scene import INK, Indices, Label, Ramp, Scene, Surface, Thread
from pipeline.staging import scene_of
from pipeline.views import camera_for, clear_outside, everything, opened
from pipeline.weigh import MassProperties
from pipeline.wish import Wish
from shapes.moments import Array

# from light to dark, so that they are told apart in grey; hue turns from sand over green to ink
PALE_TO_DEEP = ("#F3E6C4", "#D9C07A", "#9DB07E", "#4F8F86", "#25606F", "#152F45")
_SHOWN = 0.30  # the least axis of the ellipsoid is drawn shorter by this share of the longest one
_ROWS, _COLUMNS = 121, 240


def densities(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """A section whose colours are the densities of the parts, each part named."""
    values = np.array([part.density_g_cm3 for part in ball.parts])
    low, high = float(values.min()), float(values.max())
    shares = (values - low) / (high - low) if high > low else np.full(len(values), 0.5)
    colours = [hex_of(tint) for tint in shade(shares)]
    shown = replace(
        ball,
        parts=tuple(replace(p, colour=c) for p, c in zip(ball.parts, colours, strict=True)),
    )
    camera = camera_for(properties, wish, -90.0, 0.0)
    surfaces = opened(shown, camera.azimuth_deg, 180.0, everything(ball), hatched=wish.hatched)
    surfaces = tuple(
        replace(s, pour=None, finish="map" if s.finish == "cut" else s.finish) for s in surfaces
    )
    scene = scene_of(shown, properties, camera, surfaces,
                     ("Section; the darker, the denser.",), axes=False)  # fmt: skip
    ramp = Ramp("density, g/cm\u00b3", tuple(hex_of(t) for t in shade(np.linspace(0.0, 1.0, 9))),
                (f"{low:.3f}", f"{high:.3f}"))  # fmt: skip
    met = sorted({s.part for s in surfaces if s.finish == "map"})
    labels = tuple(_label_in(shown, k, surfaces) for k in met)
    return replace(scene, marks=(), labels=labels, ramp=ramp if high > low else None)


def ellipsoid(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The ellipsoid whose half axes are as long as the RGs are short, its differences drawn large.

    Lengths go as 1/RG, as in the ellipsoid x.I x = 1 (Poinsot): the angular velocities of one
    energy.
    """
    rgs, ways = properties.principal.rg_mm, _frame(properties)
    lengths = rgs.min() / rgs
    spread = float(1.0 - lengths.min())
    times = _SHOWN / spread if spread > 1e-6 else 1.0
    times = float(f"{times:.1g}")
    radius = 0.62 * ball.radius_mm
    half = radius * (1.0 - times * (1.0 - lengths))
    directions, triangles = sphere_mesh()
    points = (directions * half) @ ways.T
    normals = (directions / half) @ ways.T
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    centre = properties.centre_of_gravity_mm
    body = Surface(points + centre, normals, triangles, "#8FA9A3", "skin", len(ball.parts))
    shown = clear_outside(ball, len(ball.parts) - 1)
    note = (
        "Inertia ellipsoid: the longer its half axis, the smaller the RG about it; differences "
        f"are drawn {times:g} times as large."
    )
    if spread <= 1e-6:
        note = "Inertia ellipsoid: it is round, since the RG is the same about every axis."
    camera = camera_for(properties, wish)
    return scene_of(ball, properties, camera, (body, *shown), (note,))


def rg_sphere(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The RG about the axis that points at each place of the surface, as colours and contours."""
    directions, triangles = sphere_mesh()
    least, most = float(properties.principal.rg_mm.min()), float(properties.principal.rg_mm.max())
    spread = most - least
    flat = spread < 10.0 * properties.bound.rg_mm
    rg = rg_about(properties, directions)
    shares = np.full(len(rg), 0.5) if flat else (rg - least) / spread
    body = Surface(
        directions * ball.radius_mm, directions, triangles, "#FFFFFF", "map",
        len(ball.parts) - 1, ball.parts[-1].name, tints=shade(shares),
    )  # fmt: skip
    camera = camera_for(properties, wish)
    what = "Colour and lines: RG about the axis that points at each place of the surface."
    scene = scene_of(
        ball, properties, camera, (body,), (what,), reach_mm=ball.radius_mm, closed=True
    )
    if flat:
        return scene
    threads, labels = _contours(ball, properties, scene, least, spread)
    ends = tuple(f"{inches(x, properties, 3)} in" for x in (least, most))
    colours = tuple(hex_of(t) for t in shade(np.linspace(0.0, 1.0, 13)))
    return replace(
        scene,
        threads=threads,
        labels=(*scene.labels, *labels),
        ramp=Ramp("RG, in", colours, (ends[0], ends[1])),
    )


def rg_about(properties: MassProperties, directions: Array) -> Array:
    """RG, mm, about axes through the centre of gravity; directions of shape (n, 3), unit."""
    inertia = properties.inertia_g_mm2
    square = np.einsum("ni,ij,nj->n", directions, inertia, directions) / properties.mass_g
    return np.asarray(np.sqrt(square))


def _contours(
    ball: Ball, properties: MassProperties, scene: Scene, least: float, spread: float
) -> tuple[tuple[Thread, ...], tuple[Label, ...]]:
    """Four lines of equal RG between the least and the greatest, named where they are in sight."""
    threads, labels = [], []
    ways, toward = _frame(properties), scene.camera.axes()[2]
    for k, share in enumerate((0.2, 0.4, 0.6, 0.8)):
        rise = _angle_for(properties, share)
        axis = ways @ np.array([np.cos(rise), 0.0, np.sin(rise)])
        curves = constant_rg(properties.inertia_g_mm2, properties.mass_g, axis, ball.radius_mm)
        for curve in curves:
            threads.append(Thread(1.0015 * np.asarray(curve), INK, ball.radius_mm / 160.0))
        points = np.concatenate(curves)
        depth = points @ toward / ball.radius_mm
        seen = np.flatnonzero(depth > 0.2)
        if len(seen):
            right = points[seen] @ scene.camera.axes()[0]
            at = points[seen[int(np.argmax(right))]]
            rg = least + share * spread
            words = f"{inches(rg, properties, 4)} in"
            labels.append(Label(at, (words,), INK, f"contour {k}"))
    return tuple(threads), tuple(labels)


def _angle_for(properties: MassProperties, share: float) -> float:
    """How far from the low axis, towards the high one, RG has risen by a share of the spread."""
    low, _, high = properties.principal.rg_mm
    rg = low + share * (high - low)
    return float(np.arcsin(np.sqrt((rg**2 - low**2) / (high**2 - low**2))))


def _frame(properties: MassProperties) -> Array:
    """Shape (3, 3): low, intermediate and high axes as columns; where undefined, some that fit."""
    principal = properties.principal
    known = [principal.low, principal.intermediate, principal.high]
    found: list[Array | None] = [None if k is None else np.asarray(k) for k in known]
    if all(axis is None for axis in found):
        return np.eye(3)
    for k in range(3):
        if found[k] is None:
            others = [a for a in found if a is not None]
            found[k] = _square_to(others)
    return np.column_stack([a for a in found if a is not None])


def _square_to(ways: list[Array]) -> Array:
    """A unit vector square to one or two others."""
    if len(ways) == 2:
        return np.cross(ways[0], ways[1])
    aside = np.eye(3)[int(np.argmin(np.abs(ways[0])))]
    way = np.cross(ways[0], aside)
    return np.asarray(way / np.linalg.norm(way))


def sphere_mesh() -> tuple[Array, Indices]:
    """A unit sphere: points, which are its normals too, and triangles seen from outside."""
    up = np.linspace(np.pi, 0.0, _ROWS)
    round_ = np.linspace(0.0, 2.0 * np.pi, _COLUMNS, endpoint=False)
    z, a = np.meshgrid(np.cos(up), round_, indexing="ij")
    r = np.sin(up)[:, None]
    points = np.stack([r * np.cos(a), r * np.sin(a), z], axis=-1).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(_ROWS - 1), np.arange(_COLUMNS), indexing="ij")
    a0, a1 = i * _COLUMNS + j, i * _COLUMNS + (j + 1) % _COLUMNS
    b0, b1 = a0 + _COLUMNS, a1 + _COLUMNS
    quads = np.stack([a0, a1, b1, a0, b1, b0], axis=-1).reshape(-1, 3)
    area = np.linalg.norm(
        np.cross(
            points[quads[:, 1]] - points[quads[:, 0]], points[quads[:, 2]] - points[quads[:, 0]]
        ),
        axis=1,
    )
    return points, quads[area > 1e-9].astype(np.int64)


def shade(shares: Array) -> Array:
    """Colours, shape (n, 3) from 0 to 1 (sRGB), of shares from 0, pale, to 1, deep."""
    stops = np.array([rgb(colour) for colour in PALE_TO_DEEP])
    at = np.clip(shares, 0.0, 1.0) * (len(stops) - 1)
    return np.column_stack([np.interp(at, np.arange(len(stops)), stops[:, k]) for k in range(3)])


def _label_in(ball: Ball, k: int, surfaces: tuple[Surface, ...]) -> Label:
    """A part's name and density, at the middle of the largest piece of its cut face."""
    cut = [s for s in surfaces if s.part == k and s.finish == "map" and s.name]
    part = ball.parts[k]
    words = (part.name, f"{part.density_g_cm3:.3f} g/cm\u00b3")
    corners = cut[0].points_mm[cut[0].triangles]
    sides = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(sides, axis=1)
    middle = corners.mean(axis=1)
    mean = (middle * area[:, None]).sum(axis=0) / area.sum()
    # the fattest triangle's middle that lies to the right of the section's own middle
    score = np.sqrt(area) + 0.02 * np.linalg.norm(middle - mean, axis=1)
    return Label(middle[int(np.argmax(score))], words, INK, f"part {k}")
