"""The only conversion factors, and quantities as engineers write them.

Inside, lengths are mm, masses g, densities g/cm3 and angles degrees.  1 in = 25.4 mm and
1 lb = 453.59237 g, both exact (international yard and pound agreement of 1959); 16 oz = 1 lb.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

MM_PER_IN = 25.4
G_PER_LB = 453.59237
OZ_PER_LB = 16.0
G_PER_OZ = G_PER_LB / OZ_PER_LB
MM3_PER_CM3 = 1000.0
MM3_PER_IN3 = MM_PER_IN**3
G_PER_MM3 = 1.0 / MM3_PER_CM3  # of 1 g/cm3


@dataclass(frozen=True)
class Quantity:
    """A kind of quantity and the units it may be given in.

    Attributes:
        name: as messages say it.
        units: unit word to its size in the inner unit.
        example: a value as one writes it.
        fractions: whether '4 5/8 in' is a way to write it.
        spellings: those of the unit words that are other ways to write one of the rest.
    """

    name: str
    units: dict[str, float]
    example: str
    fractions: bool = False
    spellings: tuple[str, ...] = ()

    @property
    def allowed(self) -> str:
        """What may stand there, for messages."""
        words = ", ".join(unit for unit in self.units if unit not in self.spellings)
        article = "an" if self.name[0] in "aeiou" else "a"
        return f"{article} {self.name} in {words}, such as {self.example}"


LENGTH = Quantity(
    "length",
    {
        "in": MM_PER_IN,
        "mm": 1.0,
        "cm": 10.0,
        "inch": MM_PER_IN,
        "inches": MM_PER_IN,
        '"': MM_PER_IN,
    },
    "'3.4 in', '4 5/8 in' or '86 mm'",
    fractions=True,
    spellings=("inch", "inches", '"'),
)
MASS = Quantity("mass", {"lb": G_PER_LB, "oz": G_PER_OZ, "kg": 1000.0, "g": 1.0}, "'15 lb'")
DENSITY = Quantity(
    "density",
    {
        "g/cm3": 1.0,
        "g/mL": 1.0,
        "g/ml": 1.0,
        "kg/m3": 0.001,
        "lb/in3": G_PER_LB / (MM3_PER_IN3 / MM3_PER_CM3),
    },
    "2.45 or '2450 kg/m3'",
    spellings=("g/ml",),
)
SHARE = Quantity("share", {"%": 0.01, "in/in": 1.0, "mm/mm": 1.0}, "'0.5 %'")
ANGLE = Quantity("angle", {"deg": 1.0, "rad": 180.0 / math.pi}, "30 or '30 deg'")

_ABSURD = 1e9  # in any inner unit

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_PLAIN = re.compile(rf"({_NUMBER})\s*(\S.*)?")
_FRACTION = re.compile(r"([+-]?)(?:(\d{1,6})(?:\s+|-))?(\d{1,6})/(\d{1,6})\s*(\D.*)?")


class QuantityError(ValueError):
    """A text is no quantity of the kind; str gives the reason.

    Attributes:
        nearest: a unit that may be meant, or nothing.
        unitless: all that is missing is the unit.
    """

    def __init__(self, reason: str, nearest: str = "", *, unitless: bool = False) -> None:
        super().__init__(reason)
        self.nearest = nearest
        self.unitless = unitless


def parse_quantity(text: str, quantity: Quantity, bare: str | None) -> float:
    """A text such as '4 5/8 in' as a number in the inner unit.

    Args:
        text: number and unit; the unit may be left out when `bare` names one.
        quantity: which units are allowed.
        bare: the unit of a bare number, or None when a unit must be written.

    Raises:
        QuantityError: why the text is no such quantity.

    >>> parse_quantity("4 5/8 in", LENGTH, None)
    117.475
    >>> parse_quantity("2450 kg/m3", DENSITY, "g/cm3")
    2.45
    """
    value, unit = _split(text.strip(), quantity)
    if not unit:
        if bare is None:
            raise QuantityError("it has no unit", unitless=True)
        unit = bare
    if unit not in quantity.units:
        raise QuantityError(
            f"'{unit}' is no unit of {quantity.name}", _nearest_unit(unit, quantity)
        )
    size = quantity.units[unit]
    # 86 mm stays 86: no factor of one; and a fraction is turned into a float last of all
    found = float(value) * size if size != 1.0 else float(value)
    if not math.isfinite(found):
        raise QuantityError("it is not a finite number")
    if abs(found) > _ABSURD:
        raise QuantityError(f"it is beyond any {quantity.name} of a ball")
    return found


def _split(text: str, quantity: Quantity) -> tuple[Fraction | float, str]:
    """Number and unit of a text."""
    fraction = _FRACTION.fullmatch(text)
    if fraction and quantity.fractions:
        sign, whole, top, bottom, unit = fraction.groups()
        if int(bottom) == 0:
            raise QuantityError("it divides by zero")
        number = Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))
        return (-number if sign == "-" else number), (unit or "").strip()
    plain = _PLAIN.fullmatch(text)
    if not plain:
        raise QuantityError("it does not start with a number")
    return float(plain[1]), (plain[2] or "").strip()


def _nearest_unit(unit: str, quantity: Quantity) -> str:
    from difflib import get_close_matches

    near = get_close_matches(unit.lower(), list(quantity.units), n=1, cutoff=0.5)
    return near[0] if near else ""
