"""The drilled ball: what its holes take, and what it then weighs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

from pipeline.ball import Ball, Bore, Part, place_of
from pipeline.errors import BallError
from pipeline.holes import Hole
from pipeline.layout import Laid, lay
from pipeline.palette import colour_of
from pipeline.units import G_PER_MM3
from pipeline.weigh import ErrorBound, MassProperties, from_mass, weigh
from shapes.bored import Taken
from shapes.bored_finely import taken_finely
from shapes.moments import Array, Moments
from shapes.placed import Placed

_PASSES = 4.0
_GONE = 1e-6  # of a part: no more is left than columns can tell from nothing
_UNSEEN = 5e-8  # of the mass: a body may rise into a bore between the first columns
CELL_MM3 = 0.03  # RGs are then good to 1e-7 in or so


@dataclass(frozen=True, eq=False)
class Fill:
    """An insert or slug: what is left of its bore.

    Attributes:
        name: of its hole.
        density_g_cm3: its own.
        moments: of its space, about the ball's centre.
    """

    name: str
    density_g_cm3: float
    moments: Moments

    @property
    def mass_g(self) -> float:
        """Mass of the insert."""
        return self.moments.volume_mm3 * self.density_g_cm3 * G_PER_MM3


@dataclass(frozen=True, eq=False)
class Drilled:
    """A ball with its holes.

    Attributes:
        ball: as it was before.
        laid: the holes and marks in the ball frame.
        left: what is left of each part's space, inside out.
        fills: inserts and slugs.
        undrilled: what the ball weighed before.
        properties: what it weighs now.
    """

    ball: Ball
    laid: Laid
    left: tuple[Moments, ...]
    fills: tuple[Fill, ...]
    undrilled: MassProperties
    properties: MassProperties

    def as_ball(self) -> Ball:
        """The ball that is left: inserts first, then parts, each with what it has now."""
        fills = tuple(
            Part(
                f"insert of {fill.name}", "insert", fill.density_g_cm3, "grip insert",
                colour_of("grip insert", 0), body, fill.moments,
            )
            for fill, body in zip(self.fills, bores_of(self.holes)[len(self.holes) :], strict=True)
        )  # fmt: skip
        parts = tuple(
            replace(part, claimed=left)
            for part, left in zip(self.ball.parts, self.left, strict=True)
        )
        bores = tuple(Bore(hole.name, hole.bore()) for hole in self.holes)
        return Ball(self.ball.design, (*fills, *parts), "columns", bores)

    @property
    def holes(self) -> tuple[Hole, ...]:
        """In the ball frame."""
        return self.laid.holes


def drill(ball: Ball) -> Drilled | None:
    """Drill a ball as its design asks; None where that asks for no holes.

    Raises:
        BallError: a hole or the layout cannot be.
    """
    asked = ball.design.drilling
    if asked is None:
        return None
    undrilled = weigh(ball)
    laid = lay(ball, undrilled, asked)
    return drill_holes(ball, undrilled, laid)


def drill_holes(
    ball: Ball, undrilled: MassProperties, laid: Laid, cell_mm3: float = CELL_MM3
) -> Drilled:
    """Drill a ball with holes that are laid out in its frame.

    Args:
        ball: the ball.
        undrilled: what it weighs before.
        laid: its holes.
        cell_mm3: how finely, see `shapes.bored_finely`.
    """
    bores = bores_of(laid.holes)
    found, doubt_mm3 = taken_finely(bores, ball.bodies, cell_mm3)
    # a bore passes a body's surface a few times, mostly at a slant
    across = sum(pi * (hole.drill.diameter_mm / 2.0) ** 2 for hole in laid.holes)
    doubt_mm3 = doubt_mm3 + [_PASSES * across * body.shape.chord_error_mm() for body in ball.bodies]
    drilled = drilled_by(ball, undrilled, laid, found, doubt_mm3)
    faults = [
        f"{place_of(ball.design, asked)} is drilled away: nothing is left of it"
        for asked, part, left, doubt in zip(
            ball.design.parts, ball.parts, drilled.left, doubt_mm3, strict=True
        )
        if left.volume_mm3 <= max(_GONE * part.claimed.volume_mm3, 2.0 * doubt)
    ]
    if faults:
        raise BallError("\n".join(faults))
    return drilled


def bores_of(holes: Sequence[Hole]) -> list[Placed]:
    """Every hole's own bore, then the bores of inserts: a hole goes before what it goes through."""
    bores = [hole.bore() for hole in holes]
    return bores + [filled for hole in holes if (filled := hole.filled()) is not None]


def drilled_by(
    ball: Ball, undrilled: MassProperties, laid: Laid, found: Taken, doubt_mm3: Array
) -> Drilled:
    """The drilled ball from what its bores take, and how far off that may be for each part."""
    left = tuple(
        part.claimed - gone for part, gone in zip(ball.parts, found.of_bodies, strict=True)
    )
    filled = [(hole.name, hole.drill.insert) for hole in laid.holes if hole.drill.insert]
    fills = tuple(
        Fill(name, insert.density_g_cm3, moments)
        for (name, insert), moments in zip(filled, found.by_bores[len(laid.holes) :], strict=True)
    )
    total = Moments.zero()
    for part, moments in zip(ball.parts, left, strict=True):
        total = total + moments.times(part.density_g_cm3 * G_PER_MM3)
    for fill in fills:
        total = total + fill.moments.times(fill.density_g_cm3 * G_PER_MM3)
    doubt_g = G_PER_MM3 * float(doubt_mm3 @ [part.density_g_cm3 for part in ball.parts])
    return Drilled(
        ball, laid, left, fills, undrilled,
        from_mass(total, ball.radius_mm, _bound(undrilled, doubt_g)),
    )  # fmt: skip


def _bound(undrilled: MassProperties, doubt_g: float) -> ErrorBound:
    """Bounds from a mass that may be wrong anywhere in the ball: d(m RG^2) <= R^2 dm."""
    rg, mass = float(undrilled.principal.rg_mm[0]), undrilled.mass_g
    share = (undrilled.radius_mm**2 + rg**2) / (2.0 * rg * mass)
    doubt_g += _UNSEEN * mass
    return ErrorBound(undrilled.bound.mass_g + doubt_g, undrilled.bound.rg_mm + share * doubt_g)
