"""What the views of a ball are made with: surfaces, marks, figures and the parts' table."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees
from zlib import crc32

import numpy as np

from pipeline.arrows import axes_of
from pipeline.axes import Principal
from pipeline.ball import Ball, Part
from pipeline.bands import BANDS
from pipeline.digits import decimals, inches
from pipeline.hatching import hatching
from pipeline.palette import CHALK, hex_of, rgb
from pipeline.scene import INK, Camera, Entry, Finish, Label, Mark, Pour, Scene, Surface
from pipeline.shells import Shell
from pipeline.units import G_PER_LB
from pipeline.weigh import MassProperties
from shapes.moments import Array

ESTIMATE = "Design estimate, not a certified measurement."
NOTE = f"{ESTIMATE} Low, medium, high: common practice, and makers differ."


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


def azimuth_of(principal: Principal) -> float:
    """Azimuth of the high-RG axis, which every view shows to the right; +X if it has none."""
    high = principal.high
    if high is None or float(np.hypot(high[0], high[1])) < 0.5:
        return 0.0
    # to a thousandth: the last bits differ from one make of processor to the next
    return round(degrees(float(np.arctan2(high[1], high[0]))), 3)


def scene_of(
    ball: Ball,
    properties: MassProperties,
    camera: Camera,
    surfaces: Sequence[Surface],
    notes: tuple[str, ...],
    *,
    axes: bool = True,
    closed: bool = False,
    reach_mm: float | None = None,
) -> Scene:
    """A scene of one ball, as it is cast, with its card.

    Args:
        ball: what is drawn.
        properties: its figures.
        camera: where it is seen from.
        surfaces: what is seen of it.
        notes: sentences for the foot, what is shown.
        axes: whether its principal axes are drawn.
        closed: whether nothing inside can be seen.
        reach_mm: radius about the ball's centre; that of the surfaces if left out.
    """
    seen = {s.part for s in surfaces if s.opacity > 0.0}
    reach = reach_mm or reach_of(surfaces)
    drawn, labels = axes_of(properties, camera, reach) if axes else ((), ())
    marks, mark_labels = marks_of(properties, camera, reach > 0.99 * ball.radius_mm, closed)
    return Scene(
        ball.design.name,
        ball.design.revision,
        figures_of(properties),
        legend_of(ball, seen),
        (*notes, NOTE),
        camera,
        tuple(surfaces),
        drawn,
        marks,
        (*labels, *mark_labels),
        reach,
        -reach if camera.elevation_deg > 0.0 else None,
    )


def reach_of(surfaces: Sequence[Surface]) -> float:
    """The farthest that any surface comes from the ball's centre, mm."""
    return max(
        float(np.linalg.norm(s.pose.placed(s.points_mm), axis=1).max())
        for s in surfaces
        if len(s.points_mm) and s.finish != "stroke"
    )


def surfaces_of(
    ball: Ball, shells: Sequence[Shell], *, hatched: bool = True
) -> tuple[Surface, ...]:
    """The parts' surfaces, and hatching on the cut ones, its slope changing from part to part."""
    found = []
    for shell in shells:
        part = ball.parts[shell.part]
        finish: Finish = "cut" if shell.cut else "skin"
        arrays = shell.points_mm, shell.normals, shell.triangles
        pour = pour_of(ball, part)
        found.append(Surface(*arrays, part.colour, finish, shell.part, part.name, pour=pour))
        if shell.cut and hatched:
            slope = (45.0, -45.0, 30.0, -30.0, 60.0, -60.0)[shell.part % 6]
            lines = hatching(shell, shell.normals[0], ball.radius_mm / 28.0, slope, 0.32)
            dark = darker(part.colour, 0.80)
            arrays = lines.points_mm, lines.normals, lines.triangles
            found.append(Surface(*arrays, dark, "stroke", shell.part))
    return tuple(found)


def pour_of(ball: Ball, part: Part) -> Pour | None:
    """How a part's resin is mixed; None where it is of one colour, or no part of the design."""
    asked = next((p for p in ball.design.parts if p.name == part.name), None)
    if asked is None or asked.pour == "solid":
        return None
    second = asked.second_colour or paler(part.colour, 0.55)
    return Pour(asked.pour, second, crc32(part.name.encode()) % 997)


def marks_of(
    properties: MassProperties, camera: Camera, whole: bool, closed: bool
) -> tuple[tuple[Mark, ...], tuple[Label, ...]]:
    """The pin and the high-RG axis's point on the surface; the centre of gravity within it."""
    marks, labels = [], []
    pin = properties.pin_mm()
    if pin is not None and whole:
        behind = float(pin @ camera.axes()[2]) < -0.05 * properties.radius_mm
        marks.append(Mark("pin", pin, behind))
        labels.append(Label(pin, ("pin", "behind") if behind else ("pin",), INK, "pin"))
    psa = properties.psa_mm()
    if psa is not None and whole and closed:
        behind = float(psa @ camera.axes()[2]) < 0.0
        marks.append(Mark("psa", psa, behind))
        labels.append(Label(psa, ("PSA", "behind") if behind else ("PSA",), INK, "psa"))
    if closed:
        return tuple(marks), tuple(labels)
    centre = properties.centre_of_gravity_mm
    away = inches(float(np.linalg.norm(centre)), properties, 3)
    marks.append(Mark("cg", centre, False))
    where = (f"{away} in from", "the ball's centre") if float(away) else ("at the ball's centre",)
    labels.append(Label(centre, ("CG", *where), INK, "cg"))
    return tuple(marks), tuple(labels)


def figures_of(properties: MassProperties) -> tuple[tuple[str, str, str], ...]:
    """The figures that stand beside a picture, with the trade's words for them."""
    principal = properties.principal
    weight = decimals(properties.mass_g / G_PER_LB, properties.bound.mass_g / G_PER_LB, 2)
    first = "RG, any axis" if principal.symmetry == "spherical" else "low RG"
    total = principal.total_differential_mm
    rows = [
        ("ball weight", f"{weight} lb", ""),
        _banded(first, "low_rg", principal.rg_mm[0], properties),
        _banded("total differential", "total_differential", total, properties),
        ("intermediate differential", _in(principal.intermediate_differential_mm, properties), ""),
    ]
    return tuple(rows)


def _in(length_mm: float, properties: MassProperties) -> str:
    return f"{inches(length_mm, properties, 3)} in"


def _banded(
    name: str, figure: str, length_mm: float, properties: MassProperties
) -> tuple[str, str, str]:
    """A row with the trade's word for its figure as it is printed."""
    text = inches(length_mm, properties, 3)
    return name, f"{text} in", BANDS[figure].words(float(text))


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
    return hex_of([share * light for light in rgb(colour)])


def paler(colour: str, share: float) -> str:
    """A colour that far on its way to chalk, '#RRGGBB'."""
    pairs = zip(rgb(colour), rgb(CHALK), strict=True)
    return hex_of([a + share * (b - a) for a, b in pairs])
