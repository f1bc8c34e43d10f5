"""What the ball is and what it is made of, as facts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.ball import Ball, Part
from pipeline.bands import BANDS, Bands
from pipeline.called import called, starting, the
from pipeline.design import FreeDensity
from pipeline.same_core import core_of
from pipeline.told import Fact, Told, agreeing, density, joined, length, mass, number, rg, weight
from pipeline.trial_words import free_density, route_words
from pipeline.trials import mass_of
from pipeline.weigh import MassProperties

BALL, PARTS = "The ball", "The parts"
PRACTICE = "common practice, no source"

_SYMMETRY = {
    "symmetrical": "is symmetrical: its RG is the same about every axis across the pin axis",
    "asymmetrical": "is asymmetrical: its RGs about its three principal axes all differ",
    "spherical": "turns alike about every axis, so it has no low-RG axis and no pin",
}
_NO_PIN = (
    "is symmetrical about its high-RG axis: its low RG is the same about every axis across that "
    "one, so the low-RG axis and the pin are undefined"
)


def ball_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Weight, symmetry, low RG and differentials, with the trade's words for them."""
    design = ball.design.undrilled or ball.design
    heavy = weight(properties)
    wide = length("diameter", ball.design.diameter_mm, 0.0, source="given")
    principal = properties.principal
    words = _SYMMETRY[principal.symmetry]
    if principal.symmetry == "symmetrical" and principal.low is None:
        words = _NO_PIN
    name = called(design.name)
    yield Fact(
        BALL,
        f"The {name if name == design.name else f'ball {name}'} weighs {heavy.said} at a diameter "
        f"of {wide.said} and {words}.",
        (heavy, wide),
        f"weighed {route_words(ball)}; the diameter is given in the design",
    )
    named = principal.named_mm()
    if principal.symmetry == "spherical":
        only = rg("RG", named["low RG"], properties)
        yield Fact(BALL, f"Its RG is {only.said}.", (only,), "the square root of inertia over mass")
        return
    yield _banded("low RG", rg("low RG", named["low RG"], properties), BANDS["low_rg"])
    total = rg("total differential", named["total differential"], properties)
    yield _banded("total differential", total, BANDS["total_differential"])
    if principal.symmetry == "asymmetrical":
        middle = named["intermediate differential"]
        told = rg("intermediate differential", middle, properties)
        yield Fact(
            BALL, f"Its intermediate differential is {told.said}.", (told,),
            "high less intermediate RG",
        )  # fmt: skip


_HOW = {
    "low RG": "the least square root of inertia over mass about an axis through the centre of "
    "gravity",
    "total differential": "high less low RG",
}


def _banded(name: str, told: Told, bands: Bands) -> Fact:
    """A figure with the trade's word for it, by the digits that are printed."""
    printed = float(told.text)
    at = next(k for k, band in enumerate(bands.bands) if printed < band.up_to_in)
    words = [band.word for band in bands.bands]
    edges = [
        number(f"{name} called {one}, up to", band.up_to_in, "in", 0.0, 3, "common practice")
        for one, band in zip(words, bands.bands[:-1], strict=False)
    ]
    word = words[at]
    if at and edges[at - 1].value == printed:
        word = f"on the line between {words[at - 1]} and {words[at]}"
    runs = joined([f"{one} up to {edge.said}" for one, edge in zip(words, edges, strict=False)])
    return Fact(
        BALL,
        f"Its {name} is {told.said}, {word} in the trade's words ({PRACTICE}).",
        (told, *edges),
        f"{_HOW[name]}; the trade calls it {runs}, and {words[-1]} from there "
        f"(common practice: {bands.source})",
    )


def part_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Density, mass and share of every part; the core together; the density that was solved."""
    for part in ball.parts:
        yield _part(ball, part, properties)
    core = core_of(ball)
    if len(core) > 1:
        heavy, share = _mass_and_share(core, "the core", properties)
        names = joined([the(part.name) for part in core])
        yield Fact(
            PARTS,
            f"The core as a whole, {names}, weighs {heavy.said}, {share.said} of the ball.",
            (heavy, share),
            "the masses of its parts together",
        )
    free = free_density(ball, properties)
    if free is not None:
        yield _solved(ball, *free, properties)


def _part(ball: Ball, part: Part, properties: MassProperties) -> Fact:
    dense = density(f"density of {the(part.name)}", ball, part.material, properties)
    heavy, share = _mass_and_share([part], the(part.name), properties)
    article = "an" if part.role in ("insert", "outer core") else "the"
    role = "" if part.name.casefold() == part.role else f", {article} {part.role},"
    how = "as the design gives it" if dense.bound == 0.0 else "solved for the ball's weight"
    return Fact(
        PARTS,
        starting(
            f"{the(part.name)}{role} is of {called(part.material)}, {dense.said}, and weighs "
            f"{heavy.said}, {share.said} of the ball."
        ),
        (dense, heavy, share),
        f"its density {how}, times the space that it claims",
    )


def _mass_and_share(
    parts: Sequence[Part], name: str, properties: MassProperties
) -> tuple[Told, Told]:
    """Of parts together; a mass is as sure as that of the whole ball."""
    grams, bound_g = mass_of(parts).volume_mm3, properties.bound.mass_g
    heavy, whole = mass(f"mass of {name}", grams, bound_g), weight(properties)
    percent, bound = (100.0 * g / properties.mass_g for g in (grams, 2.0 * bound_g))
    again = 100.0 * float(heavy.text) / float(whole.text)
    return heavy, agreeing(f"share of {name}", percent, again, 1, bound, "%")


def _solved(ball: Ball, name: str, dense: Told, properties: MassProperties) -> Fact:
    free = next(m.density for m in ball.design.materials if isinstance(m.density, FreeDensity))
    low, high = (
        number(f"{which} density of {name}", value, "g/cm3", 0.0, 3, "given")
        for which, value in (("least", free.from_g_cm3), ("greatest", free.to_g_cm3))
    )
    heavy = weight(properties)
    return Fact(
        PARTS,
        f"The density of {name} is free: {dense.said} was solved so that the ball weighs "
        f"{heavy.said}, and the design allows {low.text} to {high.said}.",
        (dense, heavy, low, high),
        "the weight less what the other parts weigh, over the space of the free material",
    )
