"""What is asked of the castings: how each part is cast, and what its mould must keep.

Places and directions are in the part's own frame, as it is drawn, before spin, tilt and move.  A
value that was not given is None: what stands for it is decided, and said, in `pipeline.castings`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Vector = tuple[float, float, float]
Mould = Literal["loose", "round", "none"]
Side = Literal["pin", "foot"]


@dataclass(frozen=True)
class Shrinkage:
    """Linear shrinkage from the mould's size to that of the cold casting.

    Attributes:
        along, across: the share lost along the part's own Z axis and square to it.
        source: where the figures come from; empty when that is not said.
    """

    along: float
    across: float
    source: str = ""


@dataclass(frozen=True)
class SplitAsked:
    """A plane at which a mould parts: the way a piece is drawn, and how far out the plane is."""

    pull: Vector
    at_mm: float


@dataclass(frozen=True)
class RodAsked:
    """The hole of the rod that holds a casting in its mould, about a line along the part's Z axis.

    Attributes:
        diameter_mm: where it enters the part.
        depth_mm: from there along the axis; None for one that goes on to the part inside.
        taper_deg: how much the hole's side leans, so that it narrows inwards.
        side: the end that it enters from.
        at_mm: its axis, (x, y).
    """

    diameter_mm: float
    depth_mm: float | None
    taper_deg: float = 0.0
    side: Side = "pin"
    at_mm: tuple[float, float] = (0.0, 0.0)
    line: int = 0


@dataclass(frozen=True)
class ChannelAsked:
    """A gate or vent: a straight channel from a point in the part out of the block.

    Attributes:
        through_mm: a point of its axis, inside the part.
        toward: the way it leads outwards, a unit vector.
        diameter_mm: where it leaves the part.
        taper_deg: how much its side leans, so that it narrows outwards and can be drawn off.
    """

    through_mm: Vector
    toward: Vector
    diameter_mm: float
    taper_deg: float = 0.0
    line: int = 0


@dataclass(frozen=True)
class EjectorAsked:
    """A flat for an ejector: a disc square to the way its mould piece is drawn.

    Attributes:
        at_mm: a point that the pin's axis runs through.
        diameter_mm: of the pin.
        piece: which piece of the mould it stands in, from 1 in the order they are drawn.
    """

    at_mm: Vector
    diameter_mm: float
    piece: int
    line: int = 0


@dataclass(frozen=True)
class KeysAsked:
    """Alignment keys: cones on one face of each parting plane, sockets in the other."""

    diameter_mm: float
    height_mm: float


@dataclass(frozen=True)
class CastingAsked:
    """How one part is cast; None or empty where nothing was said.

    Attributes:
        mould: 'loose' for a casting of its own, 'round' for one poured round the parts inside,
            'none' for a part that needs no mould.
        method: the casting process in the engineer's words.
        splits: the parting planes in the order the pieces are drawn; None for the best found.
        upright_mm: how high a wall with less draft may stand.
        pieces: how many pieces the best found may have.
        stock_mm: left on all round, to be machined off.
        block_mm: full sizes of the block along the part's own axes, or those nearest to the pull.
        cutter_mm: radius of the finest cutter for the cavity.
        fillet_mm: least radius of a concave corner of the part.
        line, lines: where it stands in the file, and each of its keys.
    """

    mould: Mould | None = None
    method: str | None = None
    shrinkage: Shrinkage | None = None
    draft_deg: float | None = None
    upright_mm: float | None = None
    splits: tuple[SplitAsked, ...] | None = None
    pieces: int | None = None
    stock_mm: float | None = None
    rod: RodAsked | None = None
    gates: tuple[ChannelAsked, ...] = ()
    vents: tuple[ChannelAsked, ...] = ()
    ejectors: tuple[EjectorAsked, ...] = ()
    deflash_mm: float | None = None
    block_mm: Vector | None = None
    keys: KeysAsked | None = None
    cutter_mm: float | None = None
    fillet_mm: float | None = None
    least_wall_mm: float | None = None
    thickest_mm: float | None = None
    line: int = 0
    lines: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class RevisionAsked:
    """A line of the table of revisions on every sheet: index, what changed, day, by whom."""

    index: str
    change: str
    date: str = ""
    by: str = ""


@dataclass(frozen=True)
class Process:
    """How a ball is cast, and who signs for it.

    Attributes:
        castings: by name of the part.
        tolerance: class of general tolerances, a key of `pipeline.tolerances.CLASSES`.
        shift_mm: how far off its place a part may be cast.
        surface_mm: least distance that is to be left between the core and the ball's surface.
        revisions: the oldest first.
        owner, number, creator: for title blocks: legal owner, identification number, creator.
    """

    castings: tuple[tuple[str, CastingAsked], ...] = ()
    tolerance: str | None = None
    shift_mm: float | None = None
    surface_mm: float | None = None
    revisions: tuple[RevisionAsked, ...] = ()
    owner: str = ""
    number: str = ""
    creator: str = ""

    def casting(self, part: str) -> CastingAsked:
        """What is asked of a part: nothing, when the section does not name it."""
        return dict(self.castings).get(part, CastingAsked())


NOTHING_ASKED = Process()
