"""The bowed half-section that several families share: a barrel that bulges, a spool if hollow.

Its flank is a parabola of the height, r = middle + (end - middle) (2 z / height)^2: that of a plain
cylinder where both diameters are the same.  The rims between flank and flat ends are rounded.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from shapes.curves import Curve, Line
from shapes.moments import Mask
from shapes.pen import Flank, Rim, rim
from shapes.shape import Rule


class Bowed(NamedTuple):
    """A bowed half-section, the same above and below.

    Attributes:
        curves: lower end, lower rim, flank to the middle, flank from there, upper rim, upper end.
        rim: the upper rim.
        flank: the whole flank.
    """

    curves: tuple[Curve, ...]
    rim: Rim
    flank: Flank


def bowed(end_mm: float, middle_mm: float, height_mm: float, radius_mm: float) -> Bowed:
    """Draw it from its radii and its height."""
    half = height_mm / 2.0
    flank = Flank(0.0, middle_mm, 0.0, (end_mm - middle_mm) / half**2)
    upper = rim(flank, half, radius_mm, upper=True)
    lower = rim(flank, -half, radius_mm, upper=False)
    nothing = 0.0 * half
    curves = (
        Line((nothing, -half), (lower.on_end_r, -half)),
        lower.arc,
        flank.curve(lower.on_flank_z, nothing),
        flank.curve(nothing, upper.on_flank_z),
        upper.arc,
        Line((upper.on_end_r, half), (nothing, half)),
    )
    return Bowed(curves, upper, flank)


def rim_rules(field: str, drawn: Rim, flank: Flank, low: float, high: float) -> Iterator[Rule]:
    """What a rim must be: on its flank, between two heights, and clear of the axis."""
    radius = drawn.arc.semi[0]
    lean = flank.lean(drawn.on_flank_z)
    tight: bool | Mask = 1.0 + 2.0 * radius * flank.bend / (1.0 + lean * lean) ** 1.5 > 0.05
    yield Rule(field, tight, lambda: f"{radius:g} mm is rounder than the flank is bowed; take less")
    yield Rule(
        field,
        (low - 1e-9 <= drawn.on_flank_z) & (drawn.on_flank_z <= high + 1e-9),
        lambda: f"a rounding of {radius:g} mm needs more height than its flank has; take less",
    )
    yield Rule(
        field,
        drawn.on_end_r >= -1e-9,
        lambda: f"a rounding of {radius:g} mm reaches past the axis; take less",
    )
