"""Numbers as sentences tell them: each with its value, unit, error bound and where it is from.

No number has more decimals than its bound defends, and what is said of two numbers agrees with the
digits that are printed: a change too small for them is no change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, degrees, floor, log10
from typing import Literal

import numpy as np

from pipeline.ball import Ball
from pipeline.digits import decimals
from pipeline.units import G_PER_LB, G_PER_MM3, G_PER_OZ, MM_PER_IN
from pipeline.weigh import MassProperties

Source = Literal["computed", "given", "common practice", "earlier design"]
RG_PLACES = 3  # decimals of an inch, as the trade tells RGs and differentials
_UNSURE_MM = 1.0  # a centre of gravity next to the ball's centre has hardly a direction
EXTENT_MM = 1e-6  # how a body's own extents are found: roots, or scans refined beyond this


@dataclass(frozen=True)
class Told:
    """A number in a sentence.

    Attributes:
        name: what it is of.
        value: in its unit, not rounded.
        unit: 'in', 'lb', 'oz', 'g/cm3', '%', 'deg', or nothing for a plain number.
        bound: how far it may be off, in the same unit; 0 for what is given.
        text: its digits in the sentence, without the unit.
        source: where it is from.
    """

    name: str
    value: float
    unit: str
    bound: float
    text: str
    source: Source = "computed"

    @property
    def said(self) -> str:
        """Digits and unit."""
        return f"{self.text} {self.unit}".rstrip()

    @property
    def within(self) -> str:
        """The bound, rounded up to one digit; nothing where there is none.

        >>> Told("low RG", 2.5, "in", 1.2e-8, "2.500").within
        '2e-8'
        """
        if self.bound <= 0.0:
            return ""
        power = floor(log10(self.bound))
        first = ceil(self.bound / 10.0**power - 1e-9)
        return f"1e{power + 1}" if first > 9 else f"{first}e{power}"


@dataclass(frozen=True)
class Fact:
    """A sentence that is true by computation, or the designer's own.

    Attributes:
        about: the section of the page that it stands in.
        sentence: plain text, ending in a full stop.
        figures: every number in the sentence and in `how`, in their order.
        how: how it was found, in plain text.
        quoted: whether the sentence is the designer's own, and nothing in it computed.
    """

    about: str
    sentence: str
    figures: tuple[Told, ...]
    how: str
    quoted: bool = False


@dataclass(frozen=True)
class Said:
    """A piece of a sentence with the numbers in it."""

    words: str
    figures: tuple[Told, ...] = ()


@dataclass(frozen=True)
class Change:
    """A figure before and after, both to the same decimals.

    Attributes:
        what: the figure, with its article where it takes one.
        before, after: its values.
    """

    what: str
    before: Told
    after: Told

    @property
    def seen(self) -> bool:
        """Whether the digits that are printed change."""
        return self.before.text != self.after.text


def number(
    name: str, value: float, unit: str, bound: float, places: int, source: Source = "computed"
) -> Told:
    """A number with at most so many decimals."""
    return Told(name, value, unit, bound, decimals(value, bound, places), source)


def rg(name: str, length_mm: float, properties: MassProperties) -> Told:
    """An RG or a differential of a ball."""
    bound = properties.bound.rg_mm / MM_PER_IN
    return number(name, length_mm / MM_PER_IN, "in", bound, RG_PLACES)


def length(
    name: str, length_mm: float, bound_mm: float, places: int = 3, source: Source = "computed"
) -> Told:
    """A length in inches."""
    return number(name, length_mm / MM_PER_IN, "in", bound_mm / MM_PER_IN, places, source)


def mass(name: str, mass_g: float, bound_g: float, places: int = 3) -> Told:
    """A mass in pounds."""
    return number(name, mass_g / G_PER_LB, "lb", bound_g / G_PER_LB, places)


def weight(properties: MassProperties, tag: str = "") -> Told:
    """What a ball weighs."""
    return mass(f"weight{tag}", properties.mass_g, properties.bound.mass_g)


def top_weight(properties: MassProperties, tag: str = "") -> Told:
    """First moment of mass over the radius; it is as sure as the mass, which acts within it."""
    bound = properties.bound.mass_g / G_PER_OZ
    value = properties.static_imbalance_g() / G_PER_OZ
    return number(f"top weight{tag}", value, "oz", bound, 2)


def cg_bound_mm(properties: MassProperties) -> float:
    """How far a centre of gravity may be off: a mass in doubt acts at most a radius away."""
    return properties.radius_mm * properties.bound.mass_g / properties.mass_g


def pin_to_cg(properties: MassProperties, tag: str = "") -> Told | None:
    """Along the surface from pin to CG mark; None where either is undefined, or hardly known."""
    along = properties.pin_to_cg_mm()
    if along is None:
        return None
    away = float(np.linalg.norm(properties.centre_of_gravity_mm))
    doubt = axis_bound_rad(properties) + cg_bound_mm(properties) / away
    bound_mm = properties.radius_mm * doubt
    return length(f"pin to CG{tag}", along, bound_mm, 2) if bound_mm < _UNSURE_MM else None


def pin_bound_mm(properties: MassProperties) -> float:
    """How far the pin may lie from where it is said to be."""
    return properties.radius_mm * axis_bound_rad(properties) + cg_bound_mm(properties)


def axis_bound_rad(properties: MassProperties) -> float:
    """By how much the low-RG axis may be turned from where it is said to be.

    By no more than twice the bound of an RG over the gap to the next one (Davis and Kahan's theorem
    to first order; from memory).
    """
    low, middle, _ = properties.principal.rg_mm
    return 2.0 * properties.bound.rg_mm / float(middle - low)


def density(name: str, ball: Ball, material: str, properties: MassProperties) -> Told:
    """The density of a material of a ball: given, or solved, and then in doubt by the mass."""
    parts = [part for part in ball.parts if part.material == material]
    value = parts[0].density_g_cm3
    if isinstance(ball.design.material(material).density, float):
        return number(name, value, "g/cm3", 0.0, 3, "given")
    volume = sum(part.claimed.volume_mm3 for part in parts)
    return number(name, value, "g/cm3", properties.bound.mass_g / (volume * G_PER_MM3), 3)


def agreeing(
    name: str, value: float, again: float, places: int, bound: float, unit: str = ""
) -> Told:
    """A number worked out of others, told to as many decimals as their printed digits agree.

    Args:
        name: what it is of.
        value: from the numbers themselves.
        again: the same from the digits that are printed of them.
        places: decimals at most.
        bound: how far the value may be off.
        unit: of both.
    """
    while places > 0 and decimals(value, bound, places) != decimals(again, bound, places):
        places -= 1
    return number(name, value, unit, bound, places)


def change(what: str, before: Told, after: Told) -> Change:
    """A figure before and after, told to the decimals that both bounds defend."""
    places = min(_places(before), _places(after))
    one, other = (
        replace(told, text=decimals(told.value, told.bound, places)) for told in (before, after)
    )
    return Change(what, one, other)


def changes_said(changes: Sequence[Change]) -> Said:
    """What became of figures: those that rise or fall, then those whose digits do not change.

    >>> one, other = (number("RG", v, "in", 1e-8, 3) for v in (2.5449, 2.5512))
    >>> changes_said([change("the low RG", one, other)]).words
    'the low RG rises from 2.545 to 2.551 in'
    >>> changes_said([change("the low RG", one, one)]).words
    'the low RG (2.545 in) does not change to the digits shown'
    """
    moved = [one for one in changes if one.seen]
    still = [one for one in changes if not one.seen]
    pieces = [
        f"{one.what} {'rises' if one.after.value > one.before.value else 'falls'} from "
        f"{one.before.text} to {one.after.said}"
        for one in moved
    ]
    if still:
        names = joined([f"{one.what} ({one.before.said})" for one in still])
        pieces.append(f"{names} do{'es' * (len(still) == 1)} not change to the digits shown")
    figures = [told for one in (*moved, *still) for told in (one.before, one.after)]
    comma = ", and " if len(still) > 1 else " and "
    words = comma.join([", ".join(pieces[:-1]), pieces[-1]]) if len(pieces) > 1 else pieces[0]
    return Said(words, tuple(figures))


def _places(told: Told) -> int:
    return len(told.text.partition(".")[2])


def joined(pieces: Sequence[str]) -> str:
    """Pieces of a sentence in a row.

    >>> joined(["a", "b", "c"])
    'a, b and c'
    """
    return " and ".join([", ".join(pieces[:-1]), pieces[-1]] if len(pieces) > 1 else pieces)


def turned_deg(one: MassProperties, other: MassProperties, name: str) -> Told | None:
    """The angle between the low-RG axes of two balls; None where one has none."""
    a, b = one.principal.low, other.principal.low
    if a is None or b is None:
        return None
    angle = degrees(float(np.arctan2(np.linalg.norm(np.cross(a, b)), abs(float(a @ b)))))
    bound = degrees(axis_bound_rad(one) + axis_bound_rad(other))
    return number(name, angle, "deg", bound, 0 if bound > 0.04 else 1)
