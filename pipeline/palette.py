"""Colours of parts and axes: told apart by colour-blind readers, and in grey by their lightness."""

from __future__ import annotations

from collections.abc import Sequence

CLAY, AMBER, PLUM, WRACK = "#B5482A", "#D99A1E", "#814A7D", "#4D6217"
SLATE = "#6B7480"
OYSTER, SAND, TIDE, CHALK = "#CFC9BC", "#A99F86", "#1F4E5F", "#F7F4EA"

_ROLES = {
    "inner core": (CLAY,),
    "insert": (AMBER, PLUM, WRACK),
    "outer core": (OYSTER, SAND),
    "cover": (TIDE,),
    "grip insert": (SLATE,),
}

LOW_AXIS, INTERMEDIATE_AXIS, HIGH_AXIS = "#1B7F79", "#8A6D1D", "#B3355A"


def colour_of(role: str, turn: int) -> str:
    """The colour of the part that is the turn-th (from 0) of its role, as '#RRGGBB'."""
    colours = _ROLES[role]
    return colours[turn % len(colours)]


def rgb(colour: str) -> tuple[float, float, float]:
    """'#RRGGBB' as three numbers from 0 to 1.

    >>> rgb("#FF0080")
    (1.0, 0.0, 0.5019607843137255)
    """
    r, g, b = (int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5))
    return r, g, b


def hex_of(shares: Sequence[float]) -> str:
    """Three numbers from 0 to 1 as '#RRGGBB'.

    >>> hex_of(rgb("#1F4E5F"))
    '#1F4E5F'
    """
    return "#" + "".join(f"{round(255 * x):02X}" for x in shares)


def linear(share: float) -> float:
    """A share of sRGB as one of linear light (IEC 61966-2-1, from memory)."""
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def hex_of_linear(shares: Sequence[float]) -> str:
    """Three shares of linear light as '#RRGGBB'.

    >>> hex_of_linear([linear(share) for share in rgb("#1F4E5F")])
    '#1F4E5F'
    """
    return hex_of(
        [12.92 * x if x <= 0.0031308 else 1.055 * x ** (1.0 / 2.4) - 0.055 for x in shares]
    )
