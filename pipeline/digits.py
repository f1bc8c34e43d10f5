"""Figures as they are written: no more decimals than their error bounds defend, a true minus."""

from __future__ import annotations

from math import floor, log10

from pipeline.units import MM_PER_IN
from pipeline.weigh import MassProperties

MINUS = "\u2212"


def decimals(value: float, bound: float, most: int) -> str:
    """A figure with no more decimals than its error bound defends, and a true minus sign.

    >>> decimals(2.54449, 1e-9, 3), decimals(2.54449, 0.04, 3)
    ('2.544', '2.5')
    >>> decimals(-1.25, 1e-9, 2) == MINUS + "1.25"
    True
    """
    defended = most if bound <= 0.0 else max(0, floor(-log10(2.0 * bound)))
    text = f"{value:.{min(most, defended)}f}"
    return (MINUS + text[1:] if float(text) else text[1:]) if text.startswith("-") else text


def inches(length_mm: float, properties: MassProperties, most: int) -> str:
    """A length in inches, as the bound of a ball's radii of gyration defends it."""
    return decimals(float(length_mm) / MM_PER_IN, properties.bound.rg_mm / MM_PER_IN, most)


def counted(count: int, what: str) -> str:
    """A count with its noun.

    >>> counted(1, "flat face"), counted(2, "flat face")
    ('1 flat face', '2 flat faces')
    """
    return f"{count} {what}{'' if count == 1 else 's'}"
