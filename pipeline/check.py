"""The governing body's limits held against a ball: value, limit, margin, source, verdict.

Every verdict is a design estimate.  Only the governing body certifies a ball.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from pipeline.axes import principal
from pipeline.ball import Ball
from pipeline.limits import LIMITS, ROUNDING, Limit
from pipeline.units import G_PER_LB, G_PER_MM3, G_PER_OZ, MM_PER_IN
from pipeline.weigh import MassProperties
from shapes.moments import Array, Moments
from shapes.sphere import Sphere

Verdict = Literal["pass", "fail", "not determined"]
ESTIMATE = "design estimate; only the governing body certifies a ball"
AS_ASKED_LB = 0.005  # a ball that weighs what its design says does so to the printed hundredth


@dataclass(frozen=True)
class Finding:
    """One rule held against one figure.

    Attributes:
        rule: what it is about.
        value: the figure, or None where it is undefined.
        limit: the limit in words, with its unit.
        margin: how far inside; negative outside; None without a value or a rule.
        unit: of value and margin.
        verdict: pass, fail or not determined.
        source: where the rule was read.
        confidence: G, S or M as in `limits`, or C for a check of our own.
        note: what else the reader should know; may be empty.
        least, most: the ends of what is allowed, in the unit of the value; None for an open end,
            and both for a rule that is no range.
    """

    rule: str
    value: float | None
    limit: str
    margin: float | None
    unit: str
    verdict: Verdict
    source: str
    confidence: str
    note: str = ""
    least: float | None = None
    most: float | None = None

    def form(self, places: int) -> str:
        """How value and margin are written: to so many decimals, or as the count that they are."""
        counted = self.unit.startswith(("holes", "pairs", "for each"))
        return ".3g" if counted else f".{places}f"


@dataclass(frozen=True)
class Figure:
    """A figure for a rule: its value, how far it may be off, and a note."""

    value: float | None
    bound: float = 0.0
    note: str = ""


def check(ball: Ball, properties: MassProperties) -> tuple[Finding, ...]:
    """Hold a ball against every limit, and against the weight that its design asks for."""
    weight = properties.mass_g / G_PER_LB
    figures = _figures(ball, properties)
    asymmetrical = properties.principal.symmetry == "asymmetrical"
    findings = [
        finding(limit, figures[limit.figure], weight)
        for limit in applicable(LIMITS, weight)
        if asymmetrical or limit.figure != "mark_offset_in"  # a symmetrical ball carries no mark
    ]
    return (*findings, *_as_asked(ball, weight))


def failed(findings: tuple[Finding, ...]) -> bool:
    """Whether any rule is broken."""
    return any(finding.verdict == "fail" for finding in findings)


def applicable(limits: tuple[Limit, ...], weight_lb: float) -> list[Limit]:
    """One limit a rule: the one that covers the weight, or the first when none does."""
    chosen: dict[str, Limit] = {}
    for limit in limits:
        if limit.rule not in chosen or limit.covers(weight_lb):
            chosen[limit.rule] = limit
    return list(chosen.values())


def _figures(ball: Ball, properties: MassProperties) -> dict[str, Figure]:
    rg = properties.principal.rg_mm / MM_PER_IN
    bound = properties.bound.rg_mm / MM_PER_IN
    densest = max(ball.parts, key=lambda part: part.density_g_cm3)
    return {
        "mass_lb": Figure(properties.mass_g / G_PER_LB, properties.bound.mass_g / G_PER_LB),
        "diameter_in": Figure(ball.design.diameter_mm / MM_PER_IN),
        "low_rg_in": Figure(float(rg[0]), bound),
        "high_rg_in": Figure(float(rg[2]), bound),
        "total_differential_in": Figure(float(rg[2] - rg[0]), bound),
        "component_density_g_cm3": Figure(densest.density_g_cm3, 0.0, f"densest: {densest.name}"),
        "void_share": Figure(_void_share(ball)),
        "pin_offset_in": _pin_offset(ball, properties),
        "mark_offset_in": _mark_offset(ball, properties),
        "static_imbalance_oz": Figure(
            properties.static_imbalance_g() / G_PER_OZ,
            0.0,
            "undrilled ball; first moment over radius, towards the CG mark; drilling changes it",
        ),
    }


def _void_share(ball: Ball) -> float:
    filled = sum(part.claimed.volume_mm3 for part in ball.parts)
    return max(0.0, 1.0 - filled / Sphere(ball.design.diameter_mm).moments().volume_mm3)


def _pin_offset(ball: Ball, properties: MassProperties) -> Figure:
    pole = np.array([0.0, 0.0, ball.radius_mm])
    offset = properties.along_surface_mm(pole, properties.pin_mm())
    if offset is None:
        return Figure(None, note="the low-RG axis is undefined")
    return Figure(offset / MM_PER_IN, note="from the +Z point, where the pin stands as drawn")


def _mark_offset(ball: Ball, properties: MassProperties) -> Figure:
    mark, psa = core_mark_mm(ball), properties.psa_mm()
    if psa is None:
        return Figure(None, note="the high-RG axis is undefined")
    if mark is None:
        return Figure(None, note="the core alone has no one high-RG axis")
    offsets = [properties.along_surface_mm(sign * mark, psa) for sign in (1.0, -1.0)]
    offset = min(o for o in offsets if o is not None)
    return Figure(
        offset / MM_PER_IN,
        note="from where the high-RG axis of the core alone would be marked",
    )


def core_mark_mm(ball: Ball) -> Array | None:
    """Where the high-RG axis of inner core and inserts alone points, on the surface; or None."""
    core = [part for part in ball.parts if part.role in ("inner core", "insert")]
    if not core:
        return None
    total = Moments.zero()
    for part in core:
        total = total + part.claimed.times(part.density_g_cm3 * G_PER_MM3)
    high = principal(total.inertia_mm5(), total.volume_mm3, 1e-4).high
    return None if high is None else high * ball.radius_mm


def finding(limit: Limit, figure: Figure, weight_lb: float) -> Finding:
    """One limit held against a figure of a ball of that weight."""
    note = figure.note
    margin = limit.margin(figure.value) if figure.value is not None else None
    verdict: Verdict = "not determined"
    covered = limit.covers(weight_lb)
    if not covered:
        note = f"no rule is known for a ball of {weight_lb:.2f} lb"
        margin = None
    elif margin is not None and abs(margin) < figure.bound and abs(margin) > ROUNDING:
        note = f"nearer to the limit than the figure is sure of ({figure.bound:.1g} {limit.unit})"
    elif margin is not None:
        least = ROUNDING if limit.strict else -ROUNDING
        verdict = "pass" if margin >= least else "fail"
    return Finding(
        limit.rule, figure.value, limit.words, margin, limit.unit, verdict, limit.source,
        limit.confidence, note, limit.least if covered else None, limit.most if covered else None,
    )  # fmt: skip


def _as_asked(ball: Ball, weight_lb: float) -> list[Finding]:
    """A ball whose densities are all given may not weigh what its design says."""
    if ball.design.weight_g is None:
        return []
    asked = ball.design.weight_g / G_PER_LB
    margin = AS_ASKED_LB - abs(weight_lb - asked)
    return [
        Finding(
            "weight as asked", weight_lb, f"{asked:g} lb within {AS_ASKED_LB:g} lb", margin, "lb",
            "pass" if margin >= -ROUNDING else "fail",
            "the design's own ball.weight", "C", "", asked - AS_ASKED_LB, asked + AS_ASKED_LB,
        )
    ]  # fmt: skip
