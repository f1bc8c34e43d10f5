"""A drilled ball's figures for a reader at a terminal, beside those of the ball before."""

from __future__ import annotations

from math import acos, degrees

from pipeline.digits import inches
from pipeline.drilled import Drilled
from pipeline.drilled_figures import layout_distances_mm
from pipeline.flare import EXPLANATION
from pipeline.prove import Route
from pipeline.rolling import let_go
from pipeline.shift import Moved, pin_moved, psa_moved, rg_about_mm
from pipeline.statics import HALVES, HALVES_OZ, MOMENT, statics
from pipeline.units import G_PER_LB, G_PER_OZ, MM3_PER_IN3, MM_PER_IN
from shapes.moments import Array


def drilled_report(drilled: Drilled, routes: list[Route]) -> str:
    """The page."""
    design = drilled.ball.design
    lines = [
        f"{design.name}, revision {design.revision}, drilled",
        "",
        *_before_and_after(drilled),
        "",
        *_marks(drilled),
        "",
        *_statics(drilled),
        *_layout(drilled),
        *_holes(drilled),
        "",
        *_parts(drilled),
        "",
        *_flare(drilled),
        *_bounds(routes),
    ]
    return "\n".join(line.rstrip() for line in lines)


def _row(name: str, before: str, after: str, change: str = "", note: str = "") -> str:
    return f"  {name:<28}{before:>14}{after:>14}{change:>14}  {note}"


def _before_and_after(drilled: Drilled) -> list[str]:
    before, after = drilled.undrilled, drilled.properties
    lines = [_row("", "undrilled", "drilled", "change")]
    one, other = before.mass_g / G_PER_LB, after.mass_g / G_PER_LB
    taken = (after.mass_g - before.mass_g) / G_PER_OZ
    lines.append(_row("mass, lb", f"{one:.4f}", f"{other:.4f}", f"{taken:+.3f} oz"))
    drilled_mm = after.principal.named_mm()
    for name, mm in before.principal.named_mm().items():
        was, now = inches(mm, before, 6), inches(drilled_mm[name], after, 6)
        places = min(len(text.partition(".")[2]) for text in (was, now))
        change = (drilled_mm[name] - mm) / MM_PER_IN
        lines.append(_row(f"{name}, in", was, now, f"{change:+.{places}f}"))
    lines.append(_row("symmetry", before.principal.symmetry, after.principal.symmetry))
    return lines


def _marks(drilled: Drilled) -> list[str]:
    before, after = drilled.undrilled, drilled.properties
    return [
        "where axes and marks are, x y z in inches in the ball frame",
        _place("centre of gravity", before.centre_of_gravity_mm, after.centre_of_gravity_mm),
        _place("pin", before.pin_mm(), after.pin_mm(), _moved(pin_moved(drilled))),
        _place("PSA", before.psa_mm(), after.psa_mm(), _moved(psa_moved(drilled))),
    ]


def _place(name: str, before: Array | None, after: Array | None, moved: str = "") -> str:
    return f"  {name:<20}{_xyz(before):>26}{_xyz(after):>26}  {moved}"


def _xyz(point: Array | None) -> str:
    if point is None:
        return "undefined"
    return " ".join(f"{round(float(x) / MM_PER_IN, 4) + 0.0:.4f}" for x in point)


def _moved(moved: Moved) -> str:
    if moved.angle_deg is None or moved.on_surface_mm is None:
        return ""
    along, digits = moved.on_surface_mm / MM_PER_IN, min(moved.decimals, 2)
    return f"turned {moved.angle_deg:.{digits}f} deg, {along:.{moved.decimals}f} in on the ball"


def _statics(drilled: Drilled) -> list[str]:
    found = statics(drilled)
    if not found:
        return [
            "static weights: not determined; no grip tells which way is up (a grip, or a thumb "
            "hole and finger holes)",
            "",
        ]
    lines = [f"  {'static weights, oz':<28}{'moment':>14}{'halves':>14}"]
    for one in found:
        lines.append(
            f"  {one.name:<28}{one.moment_g / G_PER_OZ:>+14.3f}{one.halves_g / G_PER_OZ:>+14.2f}"
            f"  more than zero towards {one.towards}"
        )
    return [
        *lines,
        f"  moment: {MOMENT}",
        f"  halves: {HALVES}, within {HALVES_OZ:g} oz",
        "",
    ]


def _layout(drilled: Drilled) -> list[str]:
    found = layout_distances_mm(drilled)
    if not found:
        return []
    words = {"pin_to_val": "pin to vertical axis line"}
    lines = ["along the surface, before drilling moved pin and mark"]
    for name, mm in found.items():
        said = words.get(name, name.replace("_", " "))
        lines.append(f"  {said:<28}{mm / MM_PER_IN:>14.4f} in")
    return [*lines, ""]


def _holes(drilled: Drilled) -> list[str]:
    lines = [
        f"  {'hole':<16}{'use':<8}{'diameter in':>12}{'depth in':>10}{'axis misses centre in':>23}"
        "  bottom"
    ]
    for hole in drilled.holes:
        drill = hole.drill
        bottom = "flat" if drill.point_deg is None else f"{drill.point_deg:g} deg"
        if drill.bevel_mm:
            bottom += f", bevel {drill.bevel_mm / MM_PER_IN:.4f} in"
        if drill.insert is not None:
            bore, depth = (x / MM_PER_IN for x in (drill.insert.bore_mm, drill.insert.depth_mm))
            bottom += f", insert in a bore of {bore:.4f} in, {depth:.3f} in deep"
        lines.append(
            f"  {hole.name:<16}{hole.use:<8}{drill.diameter_mm / MM_PER_IN:>12.4f}"
            f"{drill.depth_mm / MM_PER_IN:>10.4f}{hole.misses_mm() / MM_PER_IN + 0.0:>23.4f}"
            f"  {bottom}"
        )
    return lines


def _parts(drilled: Drilled) -> list[str]:
    names = [*(p.name for p in drilled.ball.parts), *(f"insert of {f.name}" for f in drilled.fills)]
    width = max(len(name) for name in names) + 2
    lines = [f"  {'part':<{width}}{'taken in3':>12}{'taken oz':>12}{'left lb':>12}"]
    for part, left in zip(drilled.ball.parts, drilled.left, strict=True):
        gone = part.claimed.volume_mm3 - left.volume_mm3
        share = gone / part.claimed.volume_mm3
        lines.append(
            f"  {part.name:<{width}}{gone / MM3_PER_IN3:>12.4f}"
            f"{share * part.mass_g / G_PER_OZ:>12.4f}"
            f"{(1.0 - share) * part.mass_g / G_PER_LB:>12.4f}"
        )
    for fill, name in zip(drilled.fills, names[len(drilled.ball.parts) :], strict=True):
        lines.append(
            f"  {name:<{width}}{'':>12}{'':>12}{fill.mass_g / G_PER_LB:>12.4f}"
            f"  of {fill.density_g_cm3:g} g/cm3"
        )
    return lines


def _flare(drilled: Drilled) -> list[str]:
    flare, axis = let_go(drilled), drilled.laid.axis_point
    if flare is None or axis is None:
        return []
    rg = rg_about_mm(drilled, axis) / MM_PER_IN
    steps = ", ".join(f"{float(s) / MM_PER_IN:.3f}" for s in flare.steps_mm)
    low = drilled.properties.principal.low
    away = "" if low is None else f", {_away(low, axis):.1f} deg from the low-RG axis"
    return [
        f"axis point: RG {rg:.4f} in{away}",
        f"flare index: {flare.first_step_mm / MM_PER_IN:.4f} in, the first step of the axis; step "
        f"by step {steps} in",
        EXPLANATION,
        "",
    ]


def _away(low: Array, axis: Array) -> float:
    return degrees(acos(min(1.0, abs(float(low @ axis)))))


def _bounds(routes: list[Route]) -> list[str]:
    return [
        f"RG within {route.properties.bound.rg_mm / MM_PER_IN:.0e} in, by {route.name}"
        for route in routes
    ]
