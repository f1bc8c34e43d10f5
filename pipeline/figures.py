"""Figures for machines: the JSON contract, in inches and pounds, no digit more than is sure."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from math import ceil, log10
from typing import Any

from pipeline.axes import Principal
from pipeline.ball import Ball
from pipeline.check import ESTIMATE, Finding
from pipeline.limits import AS_OF
from pipeline.prove import Route
from pipeline.units import G_PER_LB, G_PER_MM3, G_PER_OZ, MM3_PER_IN3, MM_PER_IN
from pipeline.weigh import MassProperties
from shapes.moments import Array

_UNIT_DIGITS = 9  # of a unit vector


def figures(
    ball: Ball,
    properties: MassProperties,
    routes: Sequence[Route],
    *,
    timed: bool = True,
) -> dict[str, Any]:
    """Mass properties as plain numbers; lengths in inches, masses in pounds, null where undefined.

    Args:
        ball: the ball.
        properties: what it weighs, by whatever route is the answer.
        routes: the routes that were gone, the answer first.
        timed: whether to say how long each took; a file that must come out the same leaves it out.
    """
    parts = [
        part_figures(p.name, p.material, p.density_g_cm3, p.claimed.volume_mm3) for p in ball.parts
    ]
    return mass_figures(ball, properties, parts, routes, timed=timed)


def mass_figures(
    ball: Ball,
    properties: MassProperties,
    parts: list[dict[str, Any]],
    routes: Sequence[Route],
    *,
    timed: bool,
) -> dict[str, Any]:
    """The same for a ball with these parts, drilled or not; see `part_figures`."""
    digits = _digits(properties.bound.rg_mm / MM_PER_IN)
    lb_in2 = G_PER_LB * MM_PER_IN**2
    pin_to_cg = properties.pin_to_cg_mm()
    return {
        "design": _design(ball),
        "mass_lb": rounded(properties.mass_g / G_PER_LB, digits),
        "centre_of_gravity_in": _vector(properties.centre_of_gravity_mm / MM_PER_IN, digits),
        "inertia_lb_in2": [
            _vector(row, max(digits - 2, 3)) for row in properties.inertia_g_mm2 / lb_in2
        ],
        **_principal(properties.principal, digits),
        "about_ball_centre": _principal(properties.about_ball_centre, digits),
        "axes": {
            name: None if axis is None else _vector(axis, _UNIT_DIGITS)
            for name, axis in (
                ("low", properties.principal.low),
                ("intermediate", properties.principal.intermediate),
                ("high", properties.principal.high),
            )
        },
        "symmetry": properties.principal.symmetry,
        "pin_in": _point(properties.pin_mm(), digits),
        "psa_in": _point(properties.psa_mm(), digits),
        "cg_mark_in": _point(properties.cg_mark_mm(), digits),
        "pin_to_cg_in": None if pin_to_cg is None else rounded(pin_to_cg / MM_PER_IN, 6),
        "top_weight_oz": rounded(properties.static_imbalance_g() / G_PER_OZ, 6),
        "parts": parts,
        "error_bound": {
            "mass_lb": _one_digit(properties.bound.mass_g / G_PER_LB),
            "rg_in": _one_digit(properties.bound.rg_mm / MM_PER_IN),
        },
        "routes": {route.name: _route(route, timed=timed) for route in routes},
    }


def findings_as_figures(ball: Ball, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Findings as plain values."""
    return {
        "design": _design(ball),
        "note": ESTIMATE,
        "limits_as_of": AS_OF,
        "findings": [
            {
                "rule": f.rule,
                "value": None if f.value is None else rounded(f.value, 9),
                "unit": f.unit,
                "limit": f.limit,
                "margin": None if f.margin is None else rounded(f.margin, 9),
                "verdict": f.verdict,
                "source": f.source,
                "confidence": f.confidence,
                "note": f.note,
            }
            for f in findings
        ],
    }


def _design(ball: Ball) -> dict[str, Any]:
    """What the figures were made from."""
    design = ball.design
    found: dict[str, Any] = {
        "name": design.name,
        "revision": design.revision,
        "sha256": design.sha256,
    }
    if design.attachments:
        found["files"] = {a.name: hashlib.sha256(a.data).hexdigest() for a in design.attachments}
    notes = notes_of(ball)
    return {**found, "notes": list(notes)} if notes else found


def notes_of(ball: Ball) -> tuple[str, ...]:
    """What whoever reads the figures should know of the parts' bodies."""
    return tuple(f"{p.name}: {p.body.shape.note}" for p in ball.parts if p.body.shape.note)


def _route(route: Route, *, timed: bool) -> dict[str, Any]:
    digits = _digits(route.properties.bound.rg_mm / MM_PER_IN)
    found = {
        "rg_in": _principal(route.properties.principal, digits)["rg_in"],
        "error_bound_rg_in": _one_digit(route.properties.bound.rg_mm / MM_PER_IN),
    }
    return {**found, "seconds": round(route.seconds, 4)} if timed else found


def _principal(principal: Principal, digits: int) -> dict[str, Any]:
    low, intermediate, high = (float(rg) / MM_PER_IN for rg in principal.rg_mm)
    return {
        "rg_in": {
            "low": rounded(low, digits),
            "intermediate": rounded(intermediate, digits),
            "high": rounded(high, digits),
        },
        "total_differential_in": rounded(high - low, digits),
        "intermediate_differential_in": rounded(high - intermediate, digits),
    }


def part_figures(
    name: str, material: str, density_g_cm3: float, volume_mm3: float
) -> dict[str, Any]:
    """One part as plain numbers."""
    return {
        "name": name,
        "material": material,
        "density_g_cm3": rounded(density_g_cm3, 6),
        "volume_in3": rounded(volume_mm3 / MM3_PER_IN3, 6),
        "mass_lb": rounded(volume_mm3 * density_g_cm3 * G_PER_MM3 / G_PER_LB, 6),
    }


def _point(point: Array | None, digits: int) -> list[float] | None:
    return None if point is None else _vector(point / MM_PER_IN, digits)


def _vector(vector: Array, digits: int) -> list[float]:
    return [rounded(float(x), digits) for x in vector]


def _digits(bound: float) -> int:
    """Decimals that a bound defends."""
    return max(0, ceil(-log10(bound) - 1e-9))


def _one_digit(bound: float) -> float:
    """A bound, rounded up to one figure."""
    size = 10.0 ** -_digits(bound)
    return float(f"{ceil(bound / size - 1e-9) * size:.1e}")


def rounded(value: float, digits: int) -> float:
    """A number to so many decimals, without a minus zero."""
    return round(value, digits) + 0.0
