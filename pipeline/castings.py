"""Each part as a casting: its cold size, and the size that its mould is cut to.

Three sizes are kept apart.  *Finished* is the design's own.  *As cast* is the cold casting: the
finished part with its machining stock and the hole of its rod.  *As cut* is what the mould is cut
to: the casting grown by its shrinkage, once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball, Part, place_of
from pipeline.errors import KernelFault, ToolingError
from pipeline.kernel import kernel
from pipeline.process import CastingAsked, RodAsked, Shrinkage
from pipeline.rod_holes import (
    Stations,
    coaxial,
    depth_to,
    entry_mm,
    narrowing,
    rod_hole,
    rod_in_mould,
)
from pipeline.solids import PartSolid, solids_of
from shapes.claims import lie
from shapes.halfplane import Relation
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.sphere import Sphere

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.bars import Bar
    from shapes.skin import Skin

NO_SHRINKAGE = Shrinkage(0.0, 0.0)
_CLEAR_MM = 0.01
_WHOLE = 1e-9  # share of a volume: nothing was cut off


@dataclass(frozen=True, eq=False)
class Casting:
    """One casting, in its part's own frame, as it is drawn, millimetres.

    Attributes:
        part: what it is of.
        name: of the part, numbered when the part comes in several lumps.
        asked: what the design says of it.
        mould: 'loose', 'round' or 'none'.
        envelope: what its mould surrounds, cold: with stock, without the rod's hole.
        as_cast: the cold casting.
        as_cut: the envelope grown by its shrinkage.
        hole: the rod's hole in the cold casting; None without one.
        rod: the rod as it stands in the mould, long enough to leave any block.
        inside: the parts that it is poured round.
        lumps_inside: the lumps of each of these.
        reaches_hole: whether its rod goes down the rod hole of a part inside.
    """

    part: Part
    name: str
    asked: CastingAsked
    mould: str
    envelope: cq.Solid
    as_cast: cq.Solid
    as_cut: cq.Solid
    hole: Bar | None = None
    rod: Bar | None = None
    inside: tuple[PartSolid, ...] = ()
    lumps_inside: tuple[tuple[cq.Solid, ...], ...] = ()
    reaches_hole: bool = False

    @property
    def shrinkage(self) -> Shrinkage:
        """As given, or none."""
        return self.asked.shrinkage or NO_SHRINKAGE

    @cached_property
    def skin_as_cut(self) -> Skin:
        """Of the casting as cut."""
        with kernel():
            from shapes.skin import skin_of

            return skin_of(self.as_cut)

    @cached_property
    def skin_as_cast(self) -> Skin:
        """Of the cold casting."""
        if self.as_cast is self.as_cut:
            return self.skin_as_cut
        with kernel():
            from shapes.skin import skin_of

            return skin_of(self.as_cast)


def castings_of(ball: Ball) -> tuple[Casting, ...]:
    """Every part as castings, one for each of its lumps, inside out.

    Raises:
        ToolingError: a rod misses its part, or a body cannot be had; names part and line.
        KernelFault: the kernel's solids are not what the design asks for.
    """
    parts = solids_of(ball)
    found: list[Casting] = []
    for k, one in enumerate(parts):
        for casting in _castings(ball, one, parts[:k]):
            found.append(_with_rod(ball, casting, found))
    return tuple(found)


def where(ball: Ball, part: Part, key: str = "") -> str:
    """The place in the file of what is asked of a casting, or of one of its keys, for messages."""
    asked, file = ball.design.process.casting(part.name), ball.design.file
    if asked.line:
        line = dict(asked.lines).get(key, asked.line)
        return f"{file}:{line}: process.castings.{part.name}{f'.{key}' if key else ''}"
    design = next(p for p in ball.design.parts if p.name == part.name)
    return f"{place_of(ball.design, design)}{f', {key}' if key else ''}"


def _castings(ball: Ball, one: PartSolid, earlier: Sequence[PartSolid]) -> list[Casting]:
    part, asked = one.part, ball.design.process.casting(one.part.name)
    relations = [(e, _lies(e, part)) for e in earlier]
    held = tuple(e for e, relation in relations if relation is Relation.WITHIN)
    mould = asked.mould or ("round" if held else "loose")
    if mould != "round":
        return [
            _casting(ball, part, name, mould, _without_hollow(ball, part, mould, lump), ())
            for name, lump in _lumps(one)
        ]
    apart = (Relation.WITHIN, Relation.APART)
    through = [e.part.name for e, relation in relations if relation not in apart]
    if not held or through:
        why = f"'{through[0]}' reaches through its surface" if through else "no part lies inside it"
        raise ToolingError(
            f"{where(ball, part, 'mould')}: read 'round', but {why}; a mould can only close round "
            "parts that lie wholly inside: write loose or none"
        )
    with kernel():
        whole = part.body.shape.solid()
    return [_casting(ball, part, part.name, mould, whole, held)]


def _lies(inner: PartSolid, outer: Part) -> Relation | None:
    """How an earlier part lies to a later body; by solids where their shapes do not tell.

    None when it reaches through the body's surface.
    """
    found = lie(inner.part.body, outer.body)
    if found is not None:
        return found
    with kernel():
        from shapes import solid
        from shapes.boundary import moments_of_lumps

        whole = solid.placed(outer.body.shape.solid(), outer.body.placement)
        shared = [lump for one in inner.lumps for lump in solid.common(one, [whole])]
        share = moments_of_lumps(shared).volume_mm3 / inner.part.claimed.volume_mm3
    if share > 1.0 - _WHOLE:
        return Relation.WITHIN
    return Relation.APART if share < _WHOLE else None


def _lumps(one: PartSolid) -> list[tuple[str, cq.Solid]]:
    """The lumps of a part as drawn, each with its name; of one that nothing cuts, its own solid."""
    part = one.part
    with kernel():
        from shapes.boundary import moments_of_solid
        from shapes.solid import taken_back

        if len(one.lumps) == 1:
            whole, own = part.body.shape.solid(), part.claimed.volume_mm3
            if abs(moments_of_solid(whole).volume_mm3 / own - 1.0) < _WHOLE:
                return [(part.name, whole)]
        lumps = [taken_back(lump, part.body.placement) for lump in one.lumps]
    if len(lumps) == 1:
        return [(part.name, lumps[0])]
    return [(f"{part.name} ({k})", lump) for k, lump in enumerate(lumps, start=1)]


def _without_hollow(ball: Ball, part: Part, mould: str, lump: cq.Solid) -> cq.Solid:
    """The lump; refused where a mould is to make it and it has a closed hollow."""
    if mould != "none" and len(lump.Shells()) > 1:
        raise ToolingError(
            f"{where(ball, part, 'mould')}: the part has a closed hollow, which no mould can make; "
            "open it, or write mould: none"
        )
    return lump


def _casting(
    ball: Ball, part: Part, name: str, mould: str, body: cq.Solid, held: tuple[PartSolid, ...]
) -> Casting:
    """A casting without its rod's hole."""
    asked = ball.design.process.casting(part.name)
    shrinkage = asked.shrinkage or NO_SHRINKAGE
    try:
        with kernel():
            from shapes.stock import with_stock

            envelope = with_stock(body, asked.stock_mm or 0.0)
    except KernelFault as error:
        raise ToolingError(
            f"{where(ball, part, 'stock')}: {error}; draw the stock into the part, or leave it out"
        ) from error
    with kernel():
        from shapes import solid
        from shapes.grown import grown

        as_cast, back = envelope, part.body.placement
        inside = tuple(tuple(solid.taken_back(k, back) for k in one.lumps) for one in held)
        if held:
            lumps = solid.cut(envelope, _room_of(held, inside, back))
            if len(lumps) != 1:
                raise ToolingError(
                    f"{where(ball, part, 'mould')}: its material lies in {len(lumps)} places, some "
                    "of it in a hollow of another part, which no mould can pour; open the "
                    "hollow, or make what is in it a part of its own"
                )
            (as_cast,) = lumps
        as_cut = grown(envelope, shrinkage.along, shrinkage.across)
    return Casting(
        part, name, asked, mould, envelope, as_cast, as_cut, inside=held, lumps_inside=inside
    )


def _room_of(
    held: Sequence[PartSolid], inside: Sequence[Sequence[cq.Solid]], back: Placement
) -> list[cq.Solid]:
    """Solids that take up the same room as parts inside.

    A ball with parts clear within it takes up its own room and theirs: one face says it all.
    """
    from shapes import solid

    bodies = [one.part.body for one in held]
    balls = [body for body in bodies if any(_clear_within(other, body) for other in bodies)]
    found: list[cq.Solid] = []
    for body, lumps in zip(bodies, inside, strict=True):
        if any(_clear_within(body, one) for one in balls):
            continue
        if body in balls:
            whole = solid.placed(body.shape.solid(), body.placement)
            found.append(solid.taken_back(whole, back))
        else:
            found += lumps
    return found


def _clear_within(body: Placed, ball: Placed) -> bool:
    """Whether a body lies inside a ball and does not touch its surface."""
    if not isinstance(ball.shape, Sphere):
        return False
    return body.reach_mm(ball.placement.offset()) < ball.shape.diameter / 2.0 - _CLEAR_MM


def _with_rod(ball: Ball, casting: Casting, earlier: Sequence[Casting]) -> Casting:
    """The casting with the hole of its rod, and the rod in its mould."""
    asked = casting.asked.rod
    if asked is None:
        return casting
    place = where(ball, casting.part, "rod")
    with kernel():
        from shapes import solid
        from shapes.bars import solid_of

        hole = rod_hole(casting.envelope, asked, _inward(casting, asked, place, earlier), place)
        as_cast = solid.single(
            solid.cut(casting.as_cast, [solid_of(hole)]), "a casting with its rod hole"
        )
    scale = casting.shrinkage if casting.mould == "loose" else NO_SHRINKAGE
    return replace(
        casting, as_cast=as_cast, hole=hole, rod=rod_in_mould(hole, scale),
        reaches_hole=any(_down_hole(casting, asked, one, earlier, place) for one in casting.inside),
    )  # fmt: skip


def _inward(casting: Casting, asked: RodAsked, place: str, earlier: Sequence[Casting]) -> Stations:
    """The rod below where it enters: as deep as asked, or to the part inside and down its hole."""
    if asked.depth_mm is not None:
        return narrowing(asked, asked.depth_mm, place)
    found: list[tuple[float, Stations]] = []
    for one, lumps in zip(casting.inside, casting.lumps_inside, strict=True):
        with kernel():
            reached = depth_to(casting.envelope, lumps, asked)
        if reached is not None:
            found.append((reached, _down_hole(casting, asked, one, earlier, place)))
    if not found:
        raise ToolingError(
            f"{place}.depth: nothing is there, and the rod meets no part inside that would end it; "
            "give its depth"
        )
    reached, down = min(found)
    return down or narrowing(asked, reached, place)


def _down_hole(
    casting: Casting, asked: RodAsked, one: PartSolid, earlier: Sequence[Casting], place: str
) -> Stations:
    """The rod to where the hole of a part inside begins, and down that; nothing without one."""
    back, entry = casting.part.body.placement, entry_mm(casting.envelope, asked)
    own = next((c for c in earlier if c.part is one.part and c.hole is not None), None)
    if own is None or own.hole is None or own.asked.rod is None or entry is None:
        return ()
    if not coaxial(own.asked.rod, own.part.body.placement, asked, back):
        return ()
    mouth = own.part.body.placement.to_ball(np.array([own.hole.origin_mm]))[0]
    depth = float(np.linalg.norm(back.to_ball(np.array([entry]))[0] - mouth))
    below = tuple((at - depth, radius) for at, radius in own.hole.stations_mm[:-1])
    return (*below, *narrowing(asked, depth, place))
