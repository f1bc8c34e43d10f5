"""A drilled ball's figures for machines: those of the ball as thrown, and what drilling did."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from pipeline.drilled import Drilled
from pipeline.figures import figures, mass_figures, part_figures, rounded
from pipeline.flare import EXPLANATION
from pipeline.holes import Hole
from pipeline.prove import Route
from pipeline.rolling import let_go
from pipeline.shift import Moved, pin_moved, psa_moved, rg_about_mm
from pipeline.sphere import arc_rad
from pipeline.statics import HALVES, HALVES_OZ, MOMENT, statics
from pipeline.units import G_PER_LB, G_PER_OZ, MM3_PER_IN3, MM_PER_IN
from shapes.moments import Array

_IN = 6  # decimals of a length of the drilling


def drilled_figures(
    drilled: Drilled,
    routes: Sequence[Route],
    undrilled_routes: Sequence[Route],
    *,
    timed: bool = True,
) -> dict[str, Any]:
    """The drilled ball as plain numbers, with the ball as it was under `undrilled`.

    Args:
        drilled: the drilled ball.
        routes: the routes to its figures, the answer first.
        undrilled_routes: those to the figures of the ball before.
        timed: whether to say how long each took.
    """
    ball = drilled.ball
    before = replace(ball, design=ball.design.undrilled or ball.design)
    parts = [
        part_figures(part.name, part.material, part.density_g_cm3, left.volume_mm3)
        for part, left in zip(ball.parts, drilled.left, strict=True)
    ]
    parts += [
        part_figures(f"insert of {f.name}", "insert", f.density_g_cm3, f.moments.volume_mm3)
        for f in drilled.fills
    ]
    return {
        **mass_figures(ball, drilled.properties, parts, routes, timed=timed),
        "drilling": drilling_figures(drilled),
        "undrilled": figures(before, drilled.undrilled, undrilled_routes, timed=timed),
    }


def drilling_figures(drilled: Drilled) -> dict[str, Any]:
    """Holes, marks, shifts, static weights and the flare index."""
    laid, before, after = drilled.laid, drilled.undrilled, drilled.properties
    return {
        "hand": laid.hand,
        "holes": [_hole(hole) for hole in drilled.holes],
        "grip_centre_in": _point(laid.grip_centre, after.radius_mm),
        "axis_point_in": _point(laid.axis_point, after.radius_mm),
        "layout_in": layout_mm_to_in(drilled),
        "removed_oz": rounded((before.mass_g - after.mass_g) / G_PER_OZ, 4),
        "pin_moved": _moved(pin_moved(drilled)),
        "psa_moved": _moved(psa_moved(drilled)),
        "static_weights": _statics(drilled),
        "rg_about_axis_point_in": None
        if laid.axis_point is None
        else rounded(rg_about_mm(drilled, laid.axis_point) / MM_PER_IN, _IN),
        "flare": _flare(drilled),
    }


def layout_mm_to_in(drilled: Drilled) -> dict[str, float]:
    """The distances along the surface that a layout is told by, inches; what there is of them."""
    return {name: rounded(mm / MM_PER_IN, _IN) for name, mm in layout_distances_mm(drilled).items()}


def layout_distances_mm(drilled: Drilled) -> dict[str, float]:
    """The same in mm, before drilling moved the marks."""
    laid, radius = drilled.laid, drilled.properties.radius_mm
    found = {}
    if laid.axis_point is not None:
        found["pin_to_axis_point"] = radius * arc_rad(laid.pin, laid.axis_point)
        if laid.mark is not None:
            found["mark_to_axis_point"] = radius * arc_rad(laid.mark, laid.axis_point)
    if laid.grip_centre is not None:
        found["pin_to_grip_centre"] = radius * arc_rad(laid.pin, laid.grip_centre)
        if laid.axis_point is not None and laid.frame is not None:
            found["pin_to_val"] = radius * val_rad(laid.frame, laid.axis_point, laid.pin)
    if laid.mark is not None:
        found["pin_to_mark"] = radius * arc_rad(laid.pin, laid.mark)
    return found


def val_rad(frame: Array, axis_point: Array, point: Array) -> float:
    """The arc from a point square to the vertical axis line; more than zero on the grip's side."""
    centre, _, up = frame.T
    east = np.cross(up, axis_point)  # square to the plane of the line
    east /= np.linalg.norm(east)
    towards_grip = 1.0 if float(centre @ east) >= 0.0 else -1.0
    return float(towards_grip * np.arcsin(np.clip(point @ east, -1.0, 1.0)))


def _hole(hole: Hole) -> dict[str, Any]:
    drill = hole.drill
    found: dict[str, Any] = {
        "name": hole.name,
        "use": hole.use,
        "entry_in": [rounded(float(x) / MM_PER_IN, _IN) for x in hole.entry_mm],
        "way": [rounded(float(x), 9) for x in hole.way],
        "diameter_in": rounded(drill.diameter_mm / MM_PER_IN, _IN),
        "depth_in": rounded(drill.depth_mm / MM_PER_IN, _IN),
        "bottom": "flat" if drill.point_deg is None else {"point_deg": drill.point_deg},
        "bevel_in": rounded(drill.bevel_mm / MM_PER_IN, _IN),
        "misses_centre_in": rounded(hole.misses_mm() / MM_PER_IN, _IN),
    }
    if drill.insert is not None:
        found["insert"] = {
            "bore_in": rounded(drill.insert.bore_mm / MM_PER_IN, _IN),
            "depth_in": rounded(drill.insert.depth_mm / MM_PER_IN, _IN),
            "density_g_cm3": drill.insert.density_g_cm3,
        }
    return found


def _moved(moved: Moved) -> dict[str, float | None]:
    angle, along, digits = moved.angle_deg, moved.on_surface_mm, moved.decimals
    return {
        "deg": None if angle is None else rounded(angle, digits),
        "in": None if along is None else rounded(along / MM_PER_IN, digits),
    }


def _statics(drilled: Drilled) -> dict[str, Any] | None:
    found = statics(drilled)
    if not found:
        return None
    return {
        "moment": MOMENT,
        "halves": f"{HALVES}, within {HALVES_OZ:g} oz",
        **{
            f"{one.name}_oz": {
                "towards": one.towards,
                "moment": rounded(one.moment_g / G_PER_OZ, 4),
                "halves": rounded(one.halves_g / G_PER_OZ, 2),
            }
            for one in found
        },
    }


def _flare(drilled: Drilled) -> dict[str, Any] | None:
    flare = let_go(drilled)
    if flare is None:
        return None
    return {
        "index_in": rounded(flare.first_step_mm / MM_PER_IN, 4),
        "steps_in": [rounded(float(s) / MM_PER_IN, 4) for s in flare.steps_mm],
        "note": EXPLANATION,
    }


def _point(direction: Array | None, radius_mm: float) -> list[float] | None:
    if direction is None:
        return None
    return [rounded(float(x) * radius_mm / MM_PER_IN, _IN) for x in direction]


def removed_figures(drilled: Drilled) -> list[dict[str, Any]]:
    """What was taken of each part."""
    return [
        {
            "name": part.name,
            "volume_in3": rounded(
                (part.claimed.volume_mm3 - left.volume_mm3) / MM3_PER_IN3, _IN
            ),
            "mass_lb": rounded(
                (part.claimed.volume_mm3 - left.volume_mm3)
                / part.claimed.volume_mm3 * part.mass_g / G_PER_LB, _IN,
            ),
        }
        for part, left in zip(drilled.ball.parts, drilled.left, strict=True)
    ]  # fmt: skip
