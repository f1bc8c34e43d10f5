"""A body made of bodies: a union of some less a union of others, where they stand in its frame.

It weighs by the bodies' own moments wherever `shapes.claims` can tell how they share space, and
else by the boundary route on the solid that the CAD kernel makes.
"""

from __future__ import annotations

from abc import abstractmethod
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from shapes.chords import Lines, combined
from shapes.claims import claims
from shapes.errors import ShapeError
from shapes.moments import Array, Mask, Moments, rg_change_mm, rgs_mm
from shapes.parting import Parting
from shapes.placed import Placed
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq


class Composed(Shape):
    """A union of bodies, less others."""

    @abstractmethod
    def kept(self) -> tuple[Placed, ...]:
        """The bodies that it is made of."""

    def taken(self) -> tuple[Placed, ...]:
        """The bodies whose space is taken from it."""
        return ()

    @abstractmethod
    def field_of(self, index: int) -> str:
        """The parameter that says the body with this place in `taken` and then `kept`."""

    def moments(self) -> Moments:
        """What the kept bodies claim after those that are taken, or the boundary route."""
        own = _own(self)
        return _built(self) if own is None else own

    def rg_error_mm(self) -> float:
        """Those of the bodies together, or by how much four more points a span change any RG."""
        own = _own(self)
        if own is None:
            from shapes.boundary import moments_of_lumps
            from shapes.joined import lumps_of

            return rg_change_mm(_built(self), moments_of_lumps(lumps_of(self), order=14))
        lowest = rgs_mm(own)[0]
        total = 0.0
        for body in (*self.taken(), *self.kept()):
            share = body.moments().volume_mm3 / own.volume_mm3
            total += share * body.shape.rg_error_mm() * body.reach_mm(np.zeros(3)) / lowest
        return float(total)

    @property
    def exact(self) -> bool:
        """Whether the bodies' own moments tell what the whole weighs."""
        return _own(self) is not None

    def section(self) -> Profile | None:
        """Nothing here asks whether it is the same all round."""
        return None

    @property
    def reaches_no_farther(self) -> bool:
        """Where something is taken away, or a body inside is a bound itself, reach is a bound."""
        return bool(self.taken()) or any(b.shape.reaches_no_farther for b in self.kept())

    def reach_mm(self, point: Array) -> float:
        """The farthest of the kept bodies; a bound where something is taken away."""
        return max(body.reach_mm(point) for body in self.kept())

    def support_mm(self, direction: Array) -> float:
        """The foremost of the kept bodies; a bound where something is taken away."""
        return max(body.support_mm(direction) for body in self.kept())

    def contains(self, points: Array) -> Mask:
        """In a kept body, in none that is taken."""
        within = np.logical_or.reduce([body.contains(points) for body in self.kept()])
        for body in self.taken():
            within &= ~body.contains(points)
        return np.asarray(within)

    def chords(self, lines: Lines) -> Array:
        """In a kept body, in none that is taken."""
        kept = len(self.kept())

        def rule(inside: list[Mask]) -> Mask:
            left = np.logical_or.reduce(inside[:kept])
            for taken in inside[kept:]:
                left &= ~taken
            return np.asarray(left)

        return combined([b.chords(lines) for b in (*self.kept(), *self.taken())], rule)

    def chord_error_mm(self) -> float:
        """The greatest of the bodies'."""
        return max(body.shape.chord_error_mm() for body in (*self.kept(), *self.taken()))

    def solid(self) -> cq.Solid:
        """The kernel's union and difference; raises `SolidError` when that is not one solid."""
        from shapes import solid
        from shapes.joined import lumps_of

        return solid.single(lumps_of(self), "a composed body")

    @property
    def needs_proof(self) -> bool:
        """Whether the bodies make one solid is seen when they are joined."""
        return True

    @property
    def note(self) -> str:
        """What the bodies have to say."""
        return "; ".join(filter(None, (b.shape.note for b in (*self.taken(), *self.kept()))))

    def prove(self) -> None:
        """Raise `ShapeError` when it is not one solid, or a body adds or takes nothing."""
        from shapes.joined import prove

        prove(self)

    def parting(self) -> Parting:
        """The best of square to Z, Y and X by the draft over a fine mesh; opens the CAD kernel."""
        from shapes.measured import measured_parting

        return measured_parting(self.solid())


@lru_cache(maxsize=512)
def _own(shape: Composed) -> Moments | None:
    """Moments from the bodies' own, or None where it takes solids to tell."""
    bodies = (*shape.taken(), *shape.kept())
    if not all(body.shape.exact for body in bodies):
        return None
    found = claims(bodies)[len(shape.taken()) :]
    total = Moments.zero()
    for moments in found:
        if moments is None:
            return None
        total = total + moments
    return total


@lru_cache(maxsize=512)
def _built(shape: Composed) -> Moments:
    from shapes.boundary import moments_of_lumps
    from shapes.joined import lumps_of

    found = moments_of_lumps(lumps_of(shape))
    if found.volume_mm3 <= 0.0:
        raise ShapeError(shape.field_of(0), "nothing is left of it")
    return found
