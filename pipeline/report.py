"""Figures for a reader at a terminal."""

from __future__ import annotations

from pipeline.axes import Principal
from pipeline.ball import Ball
from pipeline.check import ESTIMATE, Finding
from pipeline.digits import inches
from pipeline.figures import notes_of
from pipeline.limits import AS_OF, CONFIDENCE
from pipeline.prove import Proof
from pipeline.units import G_PER_LB, G_PER_OZ, MM3_PER_IN3, MM_PER_IN
from pipeline.weigh import MassProperties
from shapes.moments import Array

SIGNS = {"pass": "✓", "fail": "✗", "not determined": "?"}


def weighed(ball: Ball, properties: MassProperties, proof: Proof | None = None) -> str:
    """The mass properties of a ball as a page of text."""
    lines = [
        _title(ball),
        "",
        _row("mass", f"{properties.mass_g / G_PER_LB:.4f} lb"),
        _row(
            "centre of gravity",
            _vector(properties.centre_of_gravity_mm),
            "from the ball's centre",
        ),
        "",
        "about the centre of gravity",
        *_rgs(properties.principal, properties),
        "about the ball's centre, as a swing tester finds them",
        *_rgs(properties.about_ball_centre, properties),
        "",
        *_marks(properties),
        "",
        *_parts(ball),
        "",
        *_bounds(ball, properties, proof),
        *(f"note: {note}" for note in notes_of(ball)),
    ]
    return "\n".join(line.rstrip() for line in lines)


def checked(ball: Ball, findings: tuple[Finding, ...]) -> str:
    """The findings as a table with their sources below."""
    lines = [
        _title(ball),
        f"limits as of {AS_OF}; {ESTIMATE}",
        "",
        f"  {'rule':<22}{'value':>12}  {'limit':<24}{'margin':>10}  verdict",
    ]
    for f in findings:
        form = f.form(4)
        value = "undefined" if f.value is None else f"{f.value:{form}}"
        margin = "" if f.margin is None else f"{f.margin + 0.0:{form}}"
        lines.append(
            f"{SIGNS[f.verdict]} {f.rule:<22}{value:>12}  {f.limit:<24}{margin:>10}  {f.verdict}"
        )
        if f.note:
            lines.append(f"{'':26}{f.note}")
    lines += ["", "sources"]
    for f in findings:
        how = CONFIDENCE.get(f.confidence, "a check of our own")
        lines.append(f"  {f.rule:<22}{f.source} ({how})")
    return "\n".join(line.rstrip() for line in lines)


def _title(ball: Ball) -> str:
    return f"{ball.design.name}, revision {ball.design.revision}"


def _row(name: str, value: str, note: str = "") -> str:
    return f"  {name:<28}{value:<28}{note}"


def _vector(vector_mm: Array) -> str:
    x, y, z = (round(float(v) / MM_PER_IN, 4) + 0.0 for v in vector_mm)
    return f"{x:.4f}, {y:.4f}, {z:.4f} in"


def _rgs(principal: Principal, properties: MassProperties) -> list[str]:
    named = principal.named_mm().items()
    return [_row(name, f"{inches(mm, properties, 6)} in") for name, mm in named]


def _marks(properties: MassProperties) -> list[str]:
    principal = properties.principal
    pin_to_cg = properties.pin_to_cg_mm()
    return [
        f"axes and marks ({principal.symmetry})",
        _axis("low-RG axis", principal.low),
        _axis("intermediate-RG axis", principal.intermediate),
        _axis("high-RG axis", principal.high),
        _mark("pin", properties.pin_mm(), "low-RG axis on the surface, +Z side"),
        _mark("PSA", properties.psa_mm(), "high-RG axis on the surface"),
        _mark(
            "CG mark",
            properties.cg_mark_mm(),
            "from the centre through the centre of gravity",
        ),
        _row(
            "pin to CG",
            "undefined" if pin_to_cg is None else f"{pin_to_cg / MM_PER_IN:.4f} in",
            "along the surface",
        ),
        _row(
            "static imbalance",
            f"{properties.static_imbalance_g() / G_PER_OZ:.4f} oz",
            "first moment of mass over radius, towards the CG mark",
        ),
    ]


def _axis(name: str, axis: Array | None) -> str:
    if axis is None:
        return _row(name, "undefined")
    x, y, z = (round(float(v), 6) + 0.0 for v in axis)
    return _row(name, f"{x:.6f}, {y:.6f}, {z:.6f}")


def _mark(name: str, point: Array | None, note: str) -> str:
    return _row(name, "undefined" if point is None else _vector(point), note)


def _parts(ball: Ball) -> list[str]:
    width = max(len(part.name) for part in ball.parts) + 2
    lines = [f"  {'part':<{width}}{'density g/cm3':>14}{'volume in3':>14}{'mass lb':>12}  material"]
    for part in ball.parts:
        lines.append(
            f"  {part.name:<{width}}{part.density_g_cm3:>14.4f}"
            f"{part.claimed.volume_mm3 / MM3_PER_IN3:>14.4f}{part.mass_g / G_PER_LB:>12.4f}"
            f"  {part.material}"
        )
    return lines


def _bounds(ball: Ball, properties: MassProperties, proof: Proof | None) -> list[str]:
    if proof is not None:
        return routes(proof)
    within = properties.bound.rg_mm / MM_PER_IN
    return [f"RG within {within:.0e} in, by the {ball.route} route"]


def routes(proof: Proof) -> list[str]:
    """The routes beside one another, and whether they agree."""
    lines = [
        f"  {'route':<12}{'low RG in':>12}{'inter. RG in':>14}{'high RG in':>12}{'within in':>12}"
        f"{'seconds':>10}"
    ]
    for route in proof.routes:
        low, intermediate, high = (float(r) / MM_PER_IN for r in route.properties.principal.rg_mm)
        within = route.properties.bound.rg_mm / MM_PER_IN
        digits = 6 if within < 1e-5 else 3
        lines.append(
            f"  {route.name:<12}{low:>12.{digits}f}{intermediate:>14.{digits}f}{high:>12.{digits}f}"
            f"{within:>12.0e}{route.seconds:>10.3f}"
        )
    return [*lines, *(proof.disagreements or ("the routes agree within their bounds",))]
