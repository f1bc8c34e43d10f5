"""What a trial did to a ball, in words: differentials, low RG, its axis, and the weight."""

from __future__ import annotations

from pipeline.ball import Ball
from pipeline.called import called, the
from pipeline.design import FreeDensity
from pipeline.told import (
    Change,
    Fact,
    Said,
    Told,
    change,
    changes_said,
    density,
    rg,
    turned_deg,
    weight,
)
from pipeline.trials import Trial
from pipeline.weigh import MassProperties

_WHY = {
    "out of reach": "the free density would leave the design's bounds",
    "nothing free": "the design leaves no density free",
    "free part gone": "no part of the material with the free density is left",
}
_DENSITIES = {
    "solved": "the free density solved anew",
    "out of reach": "the free density kept as it was",
    "nothing free": "no density being free",
    "free part gone": "no density being free",
}
_ROUTE = {
    "moments": "from the parts' own moments",
    "boundary": "from the faces of solids",
    "columns": "by columns",
}


def outcome(ball: Ball, properties: MassProperties, trial: Trial, tag: str) -> Said:
    """What a trial did: changes of figures, then the axis, then how the weight was kept or not.

    Args:
        ball: as the design has it.
        properties: what that weighs.
        trial: the same with one thing changed.
        tag: what the trial's figures are called by, such as ' without lower disc'.
    """
    first = changes_said(rg_changes(properties, trial.properties, tag))
    pieces, figures = [first.words], list(first.figures)
    for said in (_axis(properties, trial.properties, tag), _weight(ball, properties, trial, tag)):
        if said.words:
            pieces.append(said.words)
            figures += said.figures
    return Said("; ".join(pieces), tuple(figures))


def tried_fact(about: str, opening: Said, done: Said, what: str, trial: Trial) -> Fact:
    """A fact from a trial: what was changed, what came of it, and how that was found."""
    return Fact(
        about,
        f"{opening.words}, {done.words}.",
        (*opening.figures, *done.figures),
        f"{what}; {_DENSITIES[trial.weight]}, and the ball weighed again {route_words(trial.ball)}",
    )


def route_words(ball: Ball) -> str:
    """By which route a ball is weighed."""
    return _ROUTE[ball.route]


def rg_changes(before: MassProperties, after: MassProperties, tag: str) -> list[Change]:
    """What became of total differential and low RG, and of the intermediate differential if any."""
    one, other = before.principal.named_mm(), after.principal.named_mm()
    names = ["total differential", "low RG"]
    if "asymmetrical" in (before.principal.symmetry, after.principal.symmetry):
        names.insert(1, "intermediate differential")
    return [
        change(f"the {n}", rg(n, one[n], before), rg(f"{n}{tag}", other[n], after)) for n in names
    ]


def free_density(ball: Ball, properties: MassProperties, tag: str = "") -> tuple[str, Told] | None:
    """What has the free density, in words, and that density; None where none is free."""
    free = [m.name for m in ball.design.materials if isinstance(m.density, FreeDensity)]
    if not free:
        return None
    users = [part.name for part in ball.parts if part.material == free[0]]
    name = the(users[0]) if len(users) == 1 else called(free[0])
    return name, density(f"density of {name}{tag}", ball, free[0], properties)


def _axis(before: MassProperties, after: MassProperties, tag: str) -> Said:
    if before.principal.low is None:
        return Said("")
    if after.principal.low is None:
        alike = after.principal.symmetry == "spherical"
        return Said(
            "the ball then turns alike about every axis" if alike
            else "the low-RG axis is then undefined"
        )  # fmt: skip
    angle = turned_deg(before, after, f"angle of the low-RG axis{tag}")
    if angle is None or not float(angle.text):
        return Said("")
    return Said(f"the low-RG axis turns by {angle.said}", (angle,))


def _weight(ball: Ball, properties: MassProperties, trial: Trial, tag: str) -> Said:
    before = free_density(ball, properties)
    after = free_density(trial.ball, trial.properties, tag)
    if trial.weight == "solved" and before is not None and after is not None:
        found = change(f"the density of {after[0]}", before[1], after[1])
        if not found.seen:
            return Said("the ball keeps its weight")
        said = changes_said([found])
        return Said(f"the ball keeps its weight, since {said.words}", said.figures)
    off_g = trial.properties.mass_g - properties.mass_g
    if abs(off_g) <= properties.bound.mass_g + trial.properties.bound.mass_g:
        return Said("the ball keeps its weight")
    heavy = change("the ball's weight", weight(properties), weight(trial.properties, tag))
    said = changes_said([heavy])
    since = f", since {_WHY[trial.weight]}" if heavy.seen else ""
    return Said(f"{said.words}{since}", said.figures)
