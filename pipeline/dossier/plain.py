"""Numbers of the data as they are read: every digit that the data have, and no other."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import floor, log10

from pipeline.digits import MINUS

UNDEFINED = "undefined"


def number(value: float | None, unit: str = "") -> str:
    """A number of the data digit for digit, with a true minus sign, or the word 'undefined'.

    >>> number(2.54500812, "in"), number(1.2e-06), number(None, "in")
    ('2.54500812 in', '0.0000012', 'undefined')
    """
    if value is None:
        return UNDEFINED
    text = format(Decimal(repr(value + 0)), "f")
    return f"{text.replace('-', MINUS)} {unit}".rstrip()


def bound(value: float | None, unit: str = "") -> str:
    r"""An error bound, which is one figure and a power of ten.

    >>> bound(1e-08, "in") == "1e\u22128 in", bound(0.003, "in")
    (True, '0.003 in')
    """
    if value is None:
        return UNDEFINED
    if value == 0.0 or value >= 1e-4:
        return number(value, unit)
    figure, power = f"{value:.0e}".split("e")
    return f"{figure}e{MINUS}{-int(power)} {unit}".rstrip()


def rounded(value: float | None, places: int, unit: str = "") -> str:
    r"""A number to so many decimals, with a true minus sign where digits are left of it.

    >>> rounded(-0.0004, 3), rounded(-1.25, 1, "deg") == "\u22121.2 deg"
    ('0.000', True)
    """
    if value is None:
        return UNDEFINED
    text = f"{value:.{places}f}"
    if text.startswith("-"):
        text = MINUS + text[1:] if float(text) else text[1:]
    return f"{text} {unit}".rstrip()


def vector(values: Sequence[float] | None, unit: str = "") -> str:
    """Coordinates, digit for digit.

    >>> vector([0.0, 1.5, 2.0], "in")
    '0.0, 1.5, 2.0 in'
    """
    if values is None:
        return UNDEFINED
    return f"{', '.join(number(v) for v in values)} {unit}".rstrip()


def change(before: float, after: float, places: int) -> str:
    r"""A difference to so many decimals, with its sign.

    >>> change(15.0, 14.8162868, 7) == "\u22120.1837132", change(1.0, 1.5, 2), change(1.0, 1.0, 1)
    (True, '+0.50', '0.0')
    """
    text = f"{after - before:+.{places}f}"
    return text.replace("-", MINUS) if float(text) else text[1:]


def places_of(bound: float) -> int:
    """Decimals that an error bound defends.

    >>> places_of(2e-6), places_of(0.03)
    (5, 1)
    """
    return max(0, floor(-log10(2.0 * bound)))
