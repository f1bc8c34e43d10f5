"""The rules on a drilled ball held against it; every verdict is a design estimate."""

from __future__ import annotations

import numpy as np

from pipeline.check import Figure, Finding, applicable, finding
from pipeline.drilled import Drilled
from pipeline.holes import Hole
from pipeline.limits import DRILLING_LIMITS, Limit
from pipeline.statics import Static, statics
from pipeline.units import G_PER_LB, G_PER_OZ, MM_PER_IN
from shapes.bored_finely import taken_finely
from shapes.placed import Placed

_USE = "federation's rule 11.12 and the governing body's rule, second-hand"
DIGIT_IN = (0.4, 1.75)
_COARSE_MM3 = 3.0  # how finely shared space is looked for
_NO_GRIP = "no grip tells which way is up; give one, or a thumb hole and finger holes"


def check_drilled(drilled: Drilled) -> tuple[Finding, ...]:
    """Static weights by the weight after drilling, holes, vents and what a house ball may be."""
    weight = drilled.properties.mass_g / G_PER_LB
    counts = _counts(drilled)
    found = []
    weights = {f"{one.name}_oz": one for one in statics(drilled)}
    for limit in applicable(DRILLING_LIMITS, weight):
        if limit.figure.endswith("_oz"):
            found.append(_static(limit, weights.get(limit.figure), weight))
        elif limit.figure in counts:
            found.append(finding(limit, counts[limit.figure], weight))
    return (
        *found,
        _inside(drilled),
        _apart(drilled),
        *_sizes(drilled),
        _use(drilled),
        *_house(drilled),
    )


def _counts(drilled: Drilled) -> dict[str, Figure]:
    """Holes of each kind, and vents; what does not apply is left out."""
    uses = [hole.use for hole in drilled.holes]
    gripping = len(uses) - uses.count("vent")
    found = {
        "gripping_holes": Figure(float(gripping)),
        "thumb_holes": Figure(float(uses.count("thumb"))),
        "finger_holes": Figure(float(uses.count("finger"))),
        "balance_holes": Figure(
            0.0, note="a design's holes are all for a finger, a thumb or a vent"
        ),
    }
    vents = [hole for hole in drilled.holes if hole.use == "vent"]
    if vents:
        widest = max(vents, key=lambda hole: hole.drill.diameter_mm)
        found["vents"] = Figure(
            len(vents) / max(gripping, 1), note=f"{len(vents)} for {gripping} gripping holes"
        )
        found["vent_diameter_in"] = Figure(
            widest.drill.diameter_mm / MM_PER_IN, note=f"widest: {widest.name}"
        )
    asked = drilled.ball.design.drilling
    if asked is not None and asked.house_ball:
        figure = drilled.undrilled.principal.total_differential_mm / MM_PER_IN
        bound = drilled.undrilled.bound.rg_mm / MM_PER_IN
        found["house_differential_in"] = Figure(figure, bound, "of the ball before it is drilled")
    return found


def _static(limit: Limit, static: Static | None, weight_lb: float) -> Finding:
    """A static weight told both ways; where the two do not agree there is no verdict."""
    if static is None:
        return finding(limit, Figure(None, note=_NO_GRIP), weight_lb)
    moment, halves = static.moment_g / G_PER_OZ, static.halves_g / G_PER_OZ
    note = f"towards {static.towards} {moment:+.2f} oz by moment, {halves:+.2f} oz by halves"
    both = [finding(limit, Figure(abs(v), 0.01, note), weight_lb) for v in (moment, halves)]
    worse = max(both, key=lambda f: f.value or 0.0)
    if both[0].verdict == both[1].verdict:
        return worse
    return Finding(
        worse.rule, worse.value, worse.limit, worse.margin, worse.unit, "not determined",
        worse.source, worse.confidence, f"{note}: the two ways to tell it part at the limit",
    )  # fmt: skip


def _inside(drilled: Drilled) -> Finding:
    """A check of our own: no hole or bore comes out of the ball again."""
    radius = drilled.properties.radius_mm
    out = [hole.name for hole in drilled.holes if _reach_mm(hole) > radius]
    return Finding(
        "holes end in the ball", float(len(out)), "none comes out", None, "holes",
        "fail" if out else "pass", "a hole that comes out leaves the ball open twice", "C",
        f"out through the side: {', '.join(out)}" if out else "",
    )  # fmt: skip


def _reach_mm(hole: Hole) -> float:
    """How far from the ball's centre the rim of a hole's bottom, or of its bore's, reaches."""
    drill = hole.drill
    bottoms = [(drill.depth_mm, drill.diameter_mm / 2.0)]
    if drill.insert is not None:
        bottoms.append((drill.insert.depth_mm, drill.insert.bore_mm / 2.0))
    found = 0.0
    for depth, r in bottoms:
        bottom = hole.entry_mm + depth * hole.way
        along = float(bottom @ hole.way)
        aside = max(0.0, float(bottom @ bottom) - along**2) ** 0.5
        found = max(found, float(np.hypot(along, aside + r)))
    return found


def _apart(drilled: Drilled) -> Finding:
    """A check of our own: which holes run into each other, a vent and its hole left aside."""
    holes = [hole for hole in drilled.holes if hole.use != "vent"]
    pairs = [
        f"{a.name} and {b.name}" for k, a in enumerate(holes) for b in holes[k + 1 :] if _meet(a, b)
    ]
    return Finding(
        "holes keep apart", float(len(pairs)), "none meets another", None, "pairs",
        "not determined" if pairs else "pass", "walls between holes hold the ball together", "C",
        f"they meet inside: {'; '.join(pairs)}; lean them apart, or drill less deep" if pairs
        else "",
    )  # fmt: skip


def _meet(one: Hole, other: Hole) -> bool:
    """Whether two holes, with the bores of their inserts, share space."""
    for bore in _bores(one):
        taken, _ = taken_finely([bore], _bores(other), _COARSE_MM3)
        if sum(shared.volume_mm3 for shared in taken.of_bodies) > 4.0 * _COARSE_MM3:
            return True
    return False


def _bores(hole: Hole) -> list[Placed]:
    filled = hole.filled()
    return [hole.bore()] if filled is None else [hole.bore(), filled]


def _sizes(drilled: Drilled) -> list[Finding]:
    """A check of our own, told only when a hole is of no size for a digit: a unit may be wrong."""
    low, high = DIGIT_IN
    odd = [
        f"{hole.name} is {hole.drill.diameter_mm / MM_PER_IN:.3f} in wide"
        for hole in drilled.holes
        if hole.use != "vent" and not low <= hole.drill.diameter_mm / MM_PER_IN <= high
    ]
    if not odd:
        return []
    return [
        Finding(
            "holes for a digit", float(len(odd)), f"{low:g} to {high:g} in wide", None, "holes",
            "not determined", "common practice, no source", "C",
            f"{'; '.join(odd)}: is the file's unit right?",
        )
    ]  # fmt: skip


def _use(drilled: Drilled) -> Finding:
    """Whether every hole is used is for the bowler to show."""
    thumb = any(hole.use == "thumb" for hole in drilled.holes)
    more = "" if thumb else "; without a thumb hole the palm's centre is marked with a plus"
    return Finding(
        "use of holes", None, "every gripping hole is used", None, "", "not determined",
        _USE, "S", f"a design cannot show it{more}",
    )  # fmt: skip


def _house(drilled: Drilled) -> list[Finding]:
    asked = drilled.ball.design.drilling
    if asked is None or not asked.house_ball:
        return []
    return [
        Finding(
            "house ball", None, "lent by the centre, of polyester or basic urethane, not drilled "
            "for one bowler", None, "", "not determined",
            "rule on house balls, second-hand", "S", "a design cannot show it",
        )
    ]  # fmt: skip
