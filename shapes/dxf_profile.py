"""The half-section of a turned body from a DXF drawing: x is the distance from the axis, y height.

Lines, arcs and polylines of such are followed exactly.  Whatever cannot be followed exactly is
refused by its handle; text, dimensions, points, hatches and their like are no curves and are left.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Any

from shapes.errors import ShapeError
from shapes.turned import ArcStep, Step

if TYPE_CHECKING:
    from ezdxf.document import Drawing

Point = tuple[float, float]

UNITS_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "m": 1000.0}
_CODES = {1: "in", 4: "mm", 5: "cm", 6: "m"}  # of $INSUNITS, DXF reference
_MEET_MM = 1e-5  # ends that lie nearer are one
_LEFT = (
    "TEXT", "MTEXT", "DIMENSION", "ARC_DIMENSION", "LEADER", "MULTILEADER", "TOLERANCE", "POINT",
    "HATCH", "VIEWPORT", "ATTDEF", "IMAGE", "WIPEOUT",
)  # fmt: skip


@dataclass(frozen=True)
class Piece:
    """A line, or an arc with a point on its way; and the handle of the entity that it is of."""

    start: Point
    end: Point
    through: Point | None
    handle: str

    def turned(self) -> Piece:
        """The same, run the other way."""
        return Piece(self.end, self.start, self.through, self.handle)


def steps_in(data: bytes, layer: str = "", unit: str = "") -> tuple[Step, ...]:
    """The steps of a half-section, lower axis point first, mm.

    Args:
        data: a DXF file, ASCII or binary.
        layer: the layer to read; may be empty where curves lie on one layer only.
        unit: mm, cm, in or m; may be empty where the drawing says its unit.

    Raises:
        ShapeError: at `dxf`, `layer` or `unit`, with the entity and the place.
    """
    drawing = _drawing(data)
    scale = UNITS_MM[_unit(drawing, unit)]
    pieces = list(_pieces(drawing, layer, scale))
    chain = _on_axis(_chained(pieces))
    steps: list[Step] = [chain[0].start]
    for piece in chain:
        steps.append(piece.end if piece.through is None else ArcStep(piece.end, piece.through))
    return tuple(steps)


def _drawing(data: bytes) -> Drawing:
    from ezdxf import recover
    from ezdxf.lldxf.const import DXFError

    try:
        drawing, auditor = recover.read(io.BytesIO(data))
    except (OSError, DXFError, ValueError, IndexError, KeyError) as error:
        said = "".join(c for c in str(error) if c.isprintable())[:100]
        raise ShapeError("dxf", f"it is no DXF file that can be read ({said})") from error
    if auditor.has_errors:
        raise ShapeError("dxf", f"the drawing is damaged: {auditor.errors[0].message}")
    return drawing


def _unit(drawing: Drawing, unit: str) -> str:
    code = int(drawing.header.get("$INSUNITS", 0))
    said = _CODES.get(code, "")
    if code and not said:
        raise ShapeError(
            "unit",
            f"the drawing says unit number {code} ($INSUNITS), which is none of mm, cm, in and m; "
            "export it in one of these",
        )
    if not unit and not said:
        raise ShapeError("unit", "the drawing does not say its unit; write unit: mm, cm, in or m")
    if unit and said and unit != said:
        raise ShapeError("unit", f"the drawing says that it is in {said}, not {unit}")
    return unit or said


def _pieces(drawing: Drawing, layer: str, scale: float) -> Iterator[Piece]:
    curves = [e for e in drawing.modelspace() if e.dxftype() not in _LEFT]
    layers = sorted({e.dxf.layer for e in curves})
    if not layer and len(layers) > 1:
        raise ShapeError("layer", f"curves lie on several layers; name one of {_list(layers)}")
    if layer and layer not in layers:
        raise ShapeError("layer", f"no curve lies on layer '{layer}', but on {_list(layers)}")
    if not curves:
        raise ShapeError("dxf", "the drawing holds no curve")
    for entity in curves:
        if not layer or entity.dxf.layer == layer:
            yield from _pieces_of(entity, scale)


def _list(words: Sequence[str]) -> str:
    return ", ".join(f"'{w}'" for w in words[:12]) or "none"


def _pieces_of(entity: Any, scale: float) -> Iterator[Piece]:
    kind, handle = entity.dxftype(), str(entity.dxf.handle)

    def flat(point: Any) -> Point:
        if abs(point[2]) * scale > _MEET_MM:
            raise ShapeError("dxf", f"{kind} {handle} leaves the drawing's plane, z = 0")
        return float(point[0]) * scale, float(point[1]) * scale

    if kind == "LINE":
        yield Piece(flat(entity.dxf.start), flat(entity.dxf.end), None, handle)
    elif kind == "ARC":
        first, last = entity.dxf.start_angle, entity.dxf.end_angle
        middle = first + ((last - first) % 360.0 or 360.0) / 2.0
        start, through, end = (flat(p) for p in entity.vertices([first, middle, last]))
        yield Piece(start, end, through, handle)
    elif kind == "LWPOLYLINE" or (kind == "POLYLINE" and entity.is_2d_polyline):
        for part in entity.virtual_entities():
            for piece in _pieces_of(part, scale):
                if hypot(piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]) > 0.0:
                    yield Piece(piece.start, piece.end, piece.through, handle)
    else:
        raise ShapeError(
            "dxf",
            f"{kind} {handle} cannot be followed exactly; export the half-section as lines and "
            "arcs, or name a layer that has only those",
        )


def _chained(pieces: list[Piece]) -> list[Piece]:
    """All pieces end to end."""
    for piece in pieces:
        if _apart(piece.start, piece.end) <= _MEET_MM:
            raise ShapeError("dxf", f"the curve {piece.handle} begins where it ends")
    left = list(pieces)
    chain = [left.pop(0)]
    while left:
        joined = _extended(chain, left)
        if not joined:
            gap, here, there = min(
                (_apart(a, b), a, b)
                for a in (chain[0].start, chain[-1].end)
                for piece in left
                for b in (piece.start, piece.end)
            )
            raise ShapeError(
                "dxf",
                f"the curves are not one chain: from {_place(here)} the next end lies {gap:.5f} mm "
                f"away at {_place(there)}",
            )
    return chain


def _extended(chain: list[Piece], left: list[Piece]) -> bool:
    """Join whatever meets either end of the chain; whether anything did."""
    for at_end in (True, False):
        here = chain[-1].end if at_end else chain[0].start
        meeting = [p for p in left if min(_apart(here, p.start), _apart(here, p.end)) <= _MEET_MM]
        if len(meeting) > 1:
            raise ShapeError("dxf", f"more than two curves meet at {_place(here)}")
        if meeting:
            (piece,) = meeting
            left.remove(piece)
            begins = _apart(here, piece.start) <= _MEET_MM
            if at_end:
                chain.append(piece if begins else piece.turned())
            else:
                chain.insert(0, piece.turned() if begins else piece)
            return True
    return False


def _on_axis(chain: list[Piece]) -> list[Piece]:
    """The chain from the lower axis point to the upper one, without a line along the axis."""
    closed = _apart(chain[0].start, chain[-1].end) <= _MEET_MM
    along = [
        k
        for k, p in enumerate(chain)
        if p.through is None and abs(p.start[0]) <= _MEET_MM and abs(p.end[0]) <= _MEET_MM
    ]
    if closed:
        start = _after_axis(along, len(chain))
        if start is None:
            raise ShapeError(
                "dxf", "the outline is closed but has no line along the axis, x = 0: it is a ring, "
                "which can be taken from a body with cut"
            )  # fmt: skip
        chain = [*chain[start:], *chain[:start]][: len(chain) - len(along)]
    for point in (chain[0].start, chain[-1].end):
        if abs(point[0]) > _MEET_MM:
            raise ShapeError("dxf", f"the curves end at {_place(point)}, not on the axis, x = 0")
    for piece in chain:
        for point in (piece.start, piece.end, *([piece.through] if piece.through else [])):
            if point[0] < -_MEET_MM:
                raise ShapeError("dxf", f"{_place(point)} lies on the far side of the axis, x < 0")
    if chain[0].start[1] > chain[-1].end[1]:
        chain = [piece.turned() for piece in reversed(chain)]
    return _met(chain)


def _after_axis(along: list[int], count: int) -> int | None:
    """Where a closed chain goes on after its lines along the axis, which must be in one run."""
    starts = [(k + 1) % count for k in along if (k + 1) % count not in along]
    return starts[0] if len(starts) == 1 else None


def _met(chain: list[Piece]) -> list[Piece]:
    """Ends that are one to within rounding made one, and the first and last put on the axis."""
    found = []
    here = (0.0, chain[0].start[1])
    for k, piece in enumerate(chain):
        end = (0.0, piece.end[1]) if k == len(chain) - 1 else piece.end
        found.append(Piece(here, end, piece.through, piece.handle))
        here = end
    return found


def _apart(a: Point, b: Point) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def _place(point: Point) -> str:
    return f"({point[0] + 0.0:.4f}, {point[1] + 0.0:.4f}) mm"
