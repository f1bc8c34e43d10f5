"""What each part does: the ball weighed again without it, and how its density compares."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.ball import Ball, Part
from pipeline.called import called, its, starting, the
from pipeline.same_core import core_of
from pipeline.told import Fact, Said, Told, agreeing, density, joined, mass, number
from pipeline.trial_words import outcome, tried_fact
from pipeline.trials import Trial, fillers, of_one_density, with_material, without
from pipeline.units import G_PER_MM3
from pipeline.weigh import MassProperties

EFFECTS = "What each part does"
_ROUNDING = 1e-14  # of the arithmetic, as a share


def effect_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Every part of the core, and every outer core inside another, left out; then the cover."""
    for part in ball.parts[:-1]:
        if part.role != "outer core" or part is not _under_cover(ball):
            yield from _left_out(ball, properties, part)
    yield from _inserts_left_out(ball, properties)
    yield from _cover(ball, properties)


def _left_out(ball: Ball, properties: MassProperties, part: Part) -> Iterator[Fact]:
    trial = without(ball, [part.name])
    if trial is None:
        return
    tag = f" without {the(part.name)}"
    filling = fillers(ball, trial, [part.name])
    yield tried_fact(
        EFFECTS,
        Said(f"Without {its(part.name)}{_filled(filling)}"),
        outcome(ball, properties, trial, tag),
        "that part left out, its space filled by what flows round it in the design's order",
        trial,
    )
    if filling:
        yield from _density(ball, properties, part, filling)


def _filled(filling: Sequence[str]) -> str:
    """Whose space is filled by whom."""
    if not filling:
        return ""
    return f", whose space {joined([the(f) for f in filling])} fill{'s' * (len(filling) == 1)}"


def _density(
    ball: Ball, properties: MassProperties, part: Part, filling: Sequence[str]
) -> Iterator[Fact]:
    """A part held against what flows round it, the most of it where there are several."""
    other = next(p for p in ball.parts if p.name == filling[0])
    if part.density_g_cm3 == other.density_g_cm3:
        return
    dense, round_it = (
        density(f"density of {the(p.name)}", ball, p.material, properties) for p in (part, other)
    )
    ratio = _ratio(part.name, dense, round_it)
    volume = part.claimed.volume_mm3
    more_g = (part.density_g_cm3 - other.density_g_cm3) * volume * G_PER_MM3
    bound_g = 2.0 * properties.bound.mass_g
    name = f"mass of {the(part.name)} over its space of {the(other.name)}"
    more = mass(name, abs(more_g), bound_g)
    how = "the two densities and the space that the part claims"
    if len(filling) == 1:
        how += "; of the other's material the ball is the one without the part, above"
    yield Fact(
        EFFECTS,
        starting(
            f"{the(part.name)} is {ratio.text} times as dense as {the(other.name)} round it, "
            f"{dense.text} against {round_it.said}, and so holds {more.said} "
            f"{'more' if more_g > 0.0 else 'less'} than its space would hold of that."
        ),
        (ratio, dense, round_it, more),
        how,
    )
    if len(filling) > 1:
        yield from _of_other_material(ball, properties, part, other)


def _ratio(name: str, dense: Told, other: Told) -> Told:
    value = dense.value / other.value
    bound = value * (_ROUNDING + dense.bound / dense.value + other.bound / other.value)
    again = float(dense.text) / float(other.text)
    return agreeing(f"density ratio of {the(name)}", value, again, 2, bound)


def _of_other_material(
    ball: Ball, properties: MassProperties, part: Part, other: Part
) -> Iterator[Fact]:
    trial = with_material(ball, part.name, other.material)
    if trial is None:
        return
    tag = f" with {the(part.name)} of {called(other.material)}"
    yield tried_fact(
        EFFECTS,
        Said(f"With {its(part.name)} of {called(other.material)}, as {the(other.name)} is"),
        outcome(ball, properties, trial, tag),
        "that part given the other's material",
        trial,
    )


def _inserts_left_out(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """All inserts at once, where there are several."""
    names = [part.name for part in core_of(ball) if part.role == "insert"]
    trial = without(ball, names) if len(names) > 1 else None
    if trial is not None:
        yield tried_fact(
            EFFECTS,
            Said(f"Without all of its inserts, {joined([the(name) for name in names])}"),
            outcome(ball, properties, trial, " without all inserts"),
            "the inserts left out, their space filled by what flows round them",
            trial,
        )


def _under_cover(ball: Ball) -> Part | None:
    """The outer core right under the cover: left out, the cover would fill it."""
    before = ball.parts[-2:-1]
    return before[0] if before and before[0].role == "outer core" else None


def _cover(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Cover and outer core of one density: what their difference does."""
    under, cover = _under_cover(ball), ball.parts[-1]
    if under is None or under.density_g_cm3 == cover.density_g_cm3:
        return
    trial = of_one_density(ball, [under.name, cover.name])
    if trial is None:
        return
    names = joined([its(under.name), its(cover.name)])
    tag = f" with {joined([the(under.name), the(cover.name)])} of one density"
    even = _even_density(trial, under.name, tag)
    yield tried_fact(
        EFFECTS,
        Said(f"With {names} of one density, {even.said}, together as heavy as now", (even,)),
        outcome(ball, properties, trial, tag),
        "both given the density that keeps their mass",
        trial,
    )


def _even_density(trial: Trial, name: str, tag: str) -> Told:
    material = next(p.material for p in trial.ball.parts if p.name == name)
    alike = [p for p in trial.ball.parts if p.material == material]
    volume = sum(p.claimed.volume_mm3 for p in alike)
    bound = trial.properties.bound.mass_g / (volume * G_PER_MM3)
    return number(f"density{tag}", alike[0].density_g_cm3, "g/cm3", bound, 3)
