"""What a family and a trial of it are, in sentences and signed numbers."""

from __future__ import annotations

from pipeline.digits import MINUS, decimals
from pipeline.effects import (
    BALL_IN,
    CORE_G_CM3,
    COVER_G_CM3,
    INSERT_G_CM3,
    OUTER_CORE_IN,
    WEIGHT_LB,
    Effect,
    Trial,
)
from pipeline.units import MM_PER_IN
from shapes.parting import Parting

ONE_WAY = " (one way)"
HARDLY_IN = 0.5e-4  # an RG is told to 1e-4 in at best in the trade
_MOST = 4  # decimals of an inch
_BOUND_IN = 1e-6  # of a change, from weighing twice within 1e-8 in and the curve of the slope


def first_sentence(text: str) -> str:
    """The first sentence of what a family is, without its stop."""
    return text.split(". ")[0].rstrip(".")


def trial_sentences(found: Trial) -> tuple[str, str]:
    """Where the typical body was tried, and the figures of that ball."""
    principal = found.properties.principal
    low, total, intermediate = (
        decimals(mm / MM_PER_IN, _BOUND_IN, 3)
        for mm in (
            float(principal.rg_mm[0]),
            principal.total_differential_mm,
            principal.intermediate_differential_mm,
        )
    )
    where = {
        "inner core": f"as the inner core ({CORE_G_CM3} g/cm3) of a plain ball",
        "insert": f"as an insert ({INSERT_G_CM3} g/cm3) at the middle of a plain barrel core",
        "outer core": "as the outer core round a plain cylinder core",
    }[found.place]
    return (
        f"Its typical body {where}, {BALL_IN} in, {WEIGHT_LB:g} lb:",
        f"low RG {low} in, total differential {total} in, intermediate differential "
        f"{intermediate} in.",
    )


def plain_ball() -> str:
    """The ball that bodies are tried in, in a sentence."""
    return (
        f"an outer core of {OUTER_CORE_IN} in whose density is solved for {WEIGHT_LB:g} lb, and a "
        f"cover of {BALL_IN} in and {COVER_G_CM3} g/cm3"
    )


def change_words(effect: Effect) -> str:
    """Which number was moved, by how much."""
    one_way = ONE_WAY if effect.one_way else ""
    return f"{effect.parameter} {effect.step} more{one_way}"


def signed(value: float) -> str:
    """A change in inches with its sign, to the decimals that are known."""
    text = decimals(value, _BOUND_IN, _MOST)
    return text if text.startswith(MINUS) or not float(text) else f"+{text}"


def effect_words(effect: Effect) -> str:
    """What a change does, in words."""
    raised, lowered = [], []
    for name, value in (
        ("RG", effect.low_rg_in),
        ("total differential", effect.total_in),
        ("intermediate differential", effect.intermediate_in),
    ):
        if value >= HARDLY_IN:
            raised.append(name)
        elif value <= -HARDLY_IN:
            lowered.append(name)
    said = [
        f"{verb} {' and '.join(names)}"
        for verb, names in (("raises", raised), ("lowers", lowered))
        if names
    ]
    return "; ".join(said) or "hardly moves any"


def parting_words(parting: Parting | None) -> str:
    """Where a mould parts round a body and the least draft there."""
    if parting is None:
        return "has no parting plane of its own"
    axis = {(0.0, 0.0, 1.0): "Z", (0.0, 1.0, 0.0): "Y", (1.0, 0.0, 0.0): "X"}.get(parting.normal)
    where = f"square to {axis}" if axis else f"with the normal {parting.normal}"
    height = decimals(parting.height_mm / MM_PER_IN, 1e-4, 2)
    through = "through its origin" if not float(height.replace(MINUS, "-")) else f"at {height} in"
    draft = decimals(parting.draft_deg, 0.04, 1)
    if parting.draft_deg < 0.0:
        return f"parts {where} {through} with an undercut: least draft {draft} degrees"
    return f"parts {where} {through}; least draft {draft} degrees"
