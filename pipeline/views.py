"""The views of a ball, each of them a function from ball and figures to a scene."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import degrees

import numpy as np

from pipeline.arrows import axes_of
from pipeline.axes import Principal
from pipeline.ball import Ball, Part
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.digits import decimals, inches
from pipeline.errors import OutputError
from pipeline.hatching import hatching
from pipeline.scene import INK, Camera, Entry, Finish, Label, Mark, Scene, Surface
from pipeline.shells import Shell
from pipeline.units import G_PER_LB
from pipeline.weigh import MassProperties
from shapes.moments import Array

NOTE = "Design estimate, not a certified measurement."
_OPENING_DEG = 120.0
_WEDGE_ASIDE_DEG = 9.0  # the wedge looks a little past the camera, so that one wall shows more
_ELEVATION_DEG = 21.0


def cutaway(ball: Ball, properties: MassProperties) -> Scene:
    """Three-quarter view; a wedge is taken out of whatever is poured round the core."""
    camera = Camera(_azimuth(properties.principal) - 45.0, _ELEVATION_DEG)
    wedge = Wedge(camera.azimuth_deg + _WEDGE_ASIDE_DEG, _OPENING_DEG)
    everything = frozenset(range(len(ball.parts)))
    cutting = Cutting(wedge, everything - core_parts(ball), everything)
    what = f"A wedge of {_OPENING_DEG:.0f}° is cut out."
    return _scene(ball, properties, camera, cutting, what)


def half(ball: Ball, properties: MassProperties) -> Scene:
    """Half of everything is taken away; the section lies square to the view."""
    camera = Camera(_azimuth(properties.principal) - 90.0, 0.0)
    everything = frozenset(range(len(ball.parts)))
    cutting = Cutting(Wedge(camera.azimuth_deg, 180.0), everything, everything)
    return _scene(ball, properties, camera, cutting, "Section through the ball's centre.")


def core(ball: Ball, properties: MassProperties) -> Scene:
    """The inner core and its inserts alone, whole.

    Raises:
        OutputError: the ball has no core.
    """
    drawn = core_parts(ball)
    if not drawn:
        raise OutputError(
            f"{ball.design.name} has no core to draw alone: ask for another view, such as 'cutaway'"
        )
    camera = Camera(_azimuth(properties.principal) - 45.0, _ELEVATION_DEG)
    cutting = Cutting(None, frozenset(), drawn)
    return _scene(ball, properties, camera, cutting, "The core alone, uncut.")


VIEWS: dict[str, Callable[[Ball, MassProperties], Scene]] = {
    "cutaway": cutaway,
    "half": half,
    "core": core,
}


def core_parts(ball: Ball) -> frozenset[int]:
    """The inner core and the inserts: all that does not close round the inner core."""
    inner = [part for part in ball.parts if part.role == "inner core"]
    middle = inner[0].claimed.centroid_mm()[None] if inner else np.zeros((1, 3))
    return frozenset(
        k
        for k, part in enumerate(ball.parts)
        if part.role != "grip insert" and not _poured_round(part, middle)
    )


def _poured_round(part: Part, middle: Array) -> bool:
    if part.role == "cover":
        return True
    return part.role == "outer core" and bool(part.body.contains(middle)[0])


def _azimuth(principal: Principal) -> float:
    """Azimuth of the high-RG axis, which every view shows to the right; +X if it has none."""
    high = principal.high
    if high is None or float(np.hypot(high[0], high[1])) < 0.5:
        return 0.0
    # to a thousandth: the last bits differ from one make of processor to the next
    return round(degrees(float(np.arctan2(high[1], high[0]))), 3)


def _scene(
    ball: Ball, properties: MassProperties, camera: Camera, cutting: Cutting, what: str
) -> Scene:
    shells = shells_of(ball, cutting)
    reach = max(float(np.linalg.norm(s.points_mm, axis=1).max()) for s in shells)
    axes, labels = axes_of(properties, camera, reach)
    whole = reach > 0.99 * ball.radius_mm
    marks, mark_labels = _marks(properties, camera, whole)
    return Scene(
        ball.design.name,
        ball.design.revision,
        figures_of(properties),
        legend_of(ball, {shell.part for shell in shells}),
        (what, NOTE),
        camera,
        surfaces_of(ball, shells),
        axes,
        marks,
        (*labels, *mark_labels),
        reach,
        -reach if camera.elevation_deg > 0.0 else None,
    )


def surfaces_of(ball: Ball, shells: Sequence[Shell]) -> tuple[Surface, ...]:
    """The parts' surfaces, and hatching on the cut ones, its slope changing from part to part."""
    found = []
    for shell in shells:
        colour = ball.parts[shell.part].colour
        finish: Finish = "cut" if shell.cut else "skin"
        found.append(Surface(shell.points_mm, shell.normals, shell.triangles, colour, finish))
        if shell.cut:
            slope = (45.0, -45.0, 30.0, -30.0, 60.0, -60.0)[shell.part % 6]
            lines = hatching(shell, shell.normals[0], ball.radius_mm / 28.0, slope, 0.32)
            dark = darker(colour, 0.80)
            found.append(Surface(lines.points_mm, lines.normals, lines.triangles, dark, "cut"))
    return tuple(found)


def _marks(
    properties: MassProperties, camera: Camera, whole: bool
) -> tuple[tuple[Mark, ...], tuple[Label, ...]]:
    """The pin, where the ball's surface is there, and the centre of gravity."""
    marks, labels = [], []
    pin = properties.pin_mm()
    if pin is not None and whole:
        behind = float(pin @ camera.axes()[2]) < -0.05 * properties.radius_mm
        marks.append(Mark("pin", pin, behind))
        labels.append(Label(pin, ("pin", "behind") if behind else ("pin",), INK))
    centre = properties.centre_of_gravity_mm
    away = inches(float(np.linalg.norm(centre)), properties, 3)
    marks.append(Mark("cg", centre, False))
    where = (f"{away} in from", "the ball's centre") if float(away) else ("at the ball's centre",)
    labels.append(Label(centre, ("CG", *where), INK))
    return tuple(marks), tuple(labels)


def figures_of(properties: MassProperties) -> tuple[tuple[str, str], ...]:
    """The figures that stand beside a picture."""
    principal = properties.principal
    weight = decimals(properties.mass_g / G_PER_LB, properties.bound.mass_g / G_PER_LB, 2)
    inner = inches(principal.intermediate_differential_mm, properties, 3)
    first = "RG, any axis" if principal.symmetry == "spherical" else "low RG"
    return (
        ("ball weight", f"{weight} lb"),
        (first, f"{inches(principal.rg_mm[0], properties, 3)} in"),
        ("total differential", f"{inches(principal.total_differential_mm, properties, 3)} in"),
        ("intermediate differential", f"{inner} in"),
    )


def legend_of(ball: Ball, seen: set[int]) -> tuple[Entry, ...]:
    """The parts, each with what it weighs."""
    return tuple(
        Entry(
            part.colour,
            part.name,
            f"{part.density_g_cm3:.3f}",
            f"{part.mass_g / G_PER_LB:.2f}",
            index in seen,
        )
        for index, part in enumerate(ball.parts)
    )


def darker(colour: str, share: float) -> str:
    """A colour with its light scaled down, '#RRGGBB'."""
    return "#" + "".join(f"{round(int(colour[k : k + 2], 16) * share):02X}" for k in (1, 3, 5))
