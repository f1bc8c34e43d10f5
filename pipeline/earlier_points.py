"""A ball held against an earlier one: whether it has the same core, and how the figures changed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from pipeline.ball import Ball, Part
from pipeline.called import ball_named, the
from pipeline.digits import counted
from pipeline.same_core import POINTS, Likeness, core_of, likeness
from pipeline.told import (
    Fact,
    Told,
    change,
    changes_said,
    density,
    number,
    pin_to_cg,
    top_weight,
    weight,
)
from pipeline.trial_words import rg_changes
from pipeline.units import MM3_PER_IN3
from pipeline.weigh import MassProperties, weigh

EARLIER = "Against the earlier ball"
_SIZE_BOUND = 2e-5  # of it: how near cores are taken for one
_NUMBER = re.compile(r"(?<![\w.])([-+]?\d+(?:\.\d+)?)(?: (%))?")
_ORDINALS = ("", "one", "two", "three", "four")


def earlier_points(ball: Ball, properties: MassProperties, earlier: Ball) -> Iterator[Fact]:
    """Whose core it is, and what became of densities and figures since the earlier ball."""
    before, tag = weigh(earlier), f" of {ball_named(earlier)}"
    found = likeness(earlier, ball)
    if found.same or np.isfinite(found.size):
        yield _same(found, earlier, tag)
    else:
        yield _another(ball, properties, earlier, before, found)
    yield _densities(ball, properties, earlier, before, tag)
    yield _figures(properties, earlier, before, tag)


def _theirs(told: Told, tag: str) -> Told:
    """A figure of the earlier ball, which says so."""
    return replace(told, name=f"{told.name}{tag}", source="earlier design")


def _same(found: Likeness, earlier: Ball, tag: str) -> Fact:
    """One shape, and one size or another."""
    how = "the two cores laid over one another by their geometry alone, whatever names and pose"
    whose = ball_named(earlier)
    if found.same:
        return Fact(EARLIER, f"The core is that of {whose}, the same shape and size.", (), how)
    bound = _SIZE_BOUND * found.size
    size = number(f"size of the core over that{tag}", found.size, "", bound, 4)
    words = f"The core has the shape of that of {whose}, and {size.text} times its size."
    return Fact(EARLIER, words, (size,), how)


def _another(
    ball: Ball, properties: MassProperties, earlier: Ball, before: MassProperties, found: Likeness
) -> Fact:
    """Another core, why, and how large the two are."""
    whose = ball_named(earlier)
    here, there = core_of(ball), core_of(earlier)
    if not here or not there:
        words = "neither ball has a core inside an outer core"
        if here or there:
            words = f"only {'this' if here else 'that'} ball has a core inside an outer core"
        return Fact(EARLIER, f"The core is no help beside {whose}: {words}.", (), "their parts")
    why, told = _why(here, there, found, f" of {whose}")
    mine = _volume("volume of the core", here, properties)
    other = _theirs(_volume("volume of the core", there, before), f" of {whose}")
    return Fact(
        EARLIER,
        f"The core is another than that of {whose}: {why}; it takes {mine.said}, that one "
        f"{other.said}.",
        (*told, mine, other),
        "the two cores compared by their geometry alone, whatever names and pose",
    )


def _why(
    here: Sequence[Part], there: Sequence[Part], found: Likeness, tag: str
) -> tuple[str, list[Told]]:
    """What tells two cores apart: how many parts they have, else what was found of their shapes."""
    if len(here) != len(there):
        mine, other = (
            number("parts of the core", float(len(core)), "", 0.0, 0) for core in (here, there)
        )
        return f"it has {counted(len(here), 'part')}, that one {other.text}", [
            mine, _theirs(other, tag)
        ]  # fmt: skip
    why = found.why.replace("the second", "this one")
    return why, [_from_words(match, k) for k, match in enumerate(_NUMBER.finditer(why), 1)]


def _from_words(match: re.Match[str], k: int) -> Told:
    """A number out of the words in which two cores were told apart."""
    text, unit = match[1], match[2] or ""
    places = len(text.partition(".")[2])
    bound = 0.5 * 10.0**-places if unit else 0.0
    if unit == "%":  # of points that were counted: three times what they scatter by
        share = float(text) / 100.0
        bound += 300.0 * sqrt(share * (1.0 - share) / POINTS)
    return Told(f"cores told apart, number {_ORDINALS[k]}", float(text), unit, bound, text)


def _volume(name: str, core: tuple[Part, ...], properties: MassProperties) -> Told:
    volume = sum(part.claimed.volume_mm3 for part in core) / MM3_PER_IN3
    bound = volume * properties.bound.mass_g / properties.mass_g
    return number(name, volume, "in3", bound, 2)


def _densities(
    ball: Ball, properties: MassProperties, earlier: Ball, before: MassProperties, tag: str
) -> Fact:
    """What became of the density of every part that both balls have, by name or by role."""
    how = "parts of one name, or of a role that one part alone has in either ball"
    found = []
    for part in ball.parts:
        other = _counterpart(part, ball, earlier)
        if other is not None:
            name = f"density of {the(part.name)}"
            was = _theirs(density(name, earlier, other.material, before), tag)
            found.append(change(f"the {name}", was, density(name, ball, part.material, properties)))
    seen = [one for one in found if one.seen]
    if not seen:
        words = "No density of a part that both balls have changes to the digits shown."
        return Fact(EARLIER, words, (), how)
    said = changes_said(seen)
    words = f"From {ball_named(earlier)} to this ball {said.words}."
    return Fact(EARLIER, words, said.figures, how)


def _counterpart(part: Part, ball: Ball, earlier: Ball) -> Part | None:
    named = [p for p in earlier.parts if p.name == part.name]
    alike = [p for p in earlier.parts if p.role == part.role]
    alone = sum(p.role == part.role for p in ball.parts) == 1 == len(alike)
    return named[0] if named else alike[0] if alone else None


def _figures(properties: MassProperties, earlier: Ball, before: MassProperties, tag: str) -> Fact:
    """What became of weight, differentials, RG, top weight and pin to CG."""
    changes = [
        change("the weight", weight(before), weight(properties)),
        *rg_changes(before, properties, ""),
        change("the top weight", top_weight(before), top_weight(properties)),
    ]
    one, other = pin_to_cg(before), pin_to_cg(properties)
    if one is not None and other is not None:
        changes.append(change("pin to CG", one, other))
    said = changes_said([replace(c, before=_theirs(c.before, tag)) for c in changes])
    return Fact(
        EARLIER,
        f"From {ball_named(earlier)} to this ball {said.words}.",
        said.figures,
        "both balls weighed alike, undrilled",
    )
