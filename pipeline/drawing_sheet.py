"""One engineering drawing a body: section, views, dimensions and title block on one sheet.

The front view is section A-A.  In first-angle projection the view from above stands below it and
the view from the left on its right; in third-angle projection the view from above stands above it
and the view from the right on its right (ISO 5456-2).  The scale is the largest of ISO 5455's at
which all of it fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from typing import TYPE_CHECKING

from pipeline.dimensions import Dimensions, dimensions_of
from pipeline.drafting import Mark, Marks, Paper, Point, Rect, extent, moved
from pipeline.errors import OutputError
from pipeline.kernel import kernel
from pipeline.sheet_column import WIDTH_MM, Fact, Revision, rows_that_fit, sheet_column
from pipeline.sheet_frame import (
    PAPERS_MM,
    PAPERS_SAID,
    SCALES,
    PaperName,
    ProjectionName,
    frame,
    frame_rect,
    scale_said,
)
from pipeline.sheet_views import (
    Callout,
    caption,
    cutting_plane,
    datum_c,
    lines,
    outside_view,
    section_view,
    seen,
)
from pipeline.title_block import TitleBlock, block_rect, title_block
from pipeline.typeset import Form, typeset
from shapes.moments import Array
from shapes.profile import Profile

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.hidden_lines import Projection

_GAPS_MM = (34.0, 28.0, 22.0, 17.0, 13.0, 9.0, 6.0)
_PAD_MM = 5.0
_TURNED = (
    "Heights count from datum B, {datum}; diameters are those about datum A, the pin axis.",
    "A corner rounded between straight lines is given by its theoretical sharp point and its "
    "radius. Elsewhere dots mark where curves meet; a fillet runs into both its neighbours.",
    "Sizes in brackets follow from the others.",
)
_TABLED = "Numbered dots on the section are the points of the table."
_UNLISTED = "No table of a length for this sheet defines the spline: take it from the STEP model."
_NOT_TURNED = "The body is not turned: its shape is that of the STEP model; overall sizes are given."


@dataclass(frozen=True, eq=False)
class SheetSubject:
    """What a sheet is about.

    Attributes:
        name: of the body, in any script.
        solids: the body, its pin axis along Z through the origin.
        profile: its half-section in the same frame; None for a body that is not turned.
        title: the fields of the title block.
        facts: material, density, mass and so on.
        notes: after those that the sheet makes itself.
        callouts: notes with leaders, such as those of holes.
        revisions: the oldest first.
        parting_mm: the parting line, polylines of shape (n, 3).
        datum_b_mm: the height of the parting plane where that is datum B; None for the seat.
        high_rg_deg: the direction of datum C from X towards Y; None where there is none.
        section_y_mm: where section A-A cuts, square to Y.
    """

    name: str
    solids: Sequence[cq.Solid]
    profile: Profile | None
    title: TitleBlock = TitleBlock()
    facts: tuple[Fact, ...] = ()
    notes: tuple[str, ...] = ()
    callouts: tuple[Callout, ...] = ()
    revisions: tuple[Revision, ...] = ()
    parting_mm: tuple[Array, ...] = ()
    datum_b_mm: float | None = None
    high_rg_deg: float | None = None
    section_y_mm: float = 0.0


@dataclass(frozen=True, eq=False)
class _Views:
    """The body as the eye sees it, before any scale."""

    cut: tuple[Array, ...]
    front: Projection
    top: Projection
    side: Projection
    iso: Projection


def sheet(
    subject: SheetSubject,
    form: Form,
    paper: PaperName = "A3",
    projection: ProjectionName = "first",
) -> bytes:
    """The sheet as a file; the same subject gives the same bytes.

    Raises:
        OutputError: it does not fit the paper.
        KernelFault: the kernel could not cut or project the body.
    """
    return typeset(drawn(subject, paper, projection), form)


def drawn(subject: SheetSubject, paper: PaperName, projection: ProjectionName) -> Paper:
    """The sheet as marks on paper; raises as `sheet` does."""
    area = frame_rect(paper)
    corner = (area.right, area.bottom)
    room = area.height - block_rect(corner).height - 3.0
    dimensions = None
    if subject.profile is not None:
        rows = rows_that_fit(room * 0.6)
        dimensions = dimensions_of(subject.profile, subject.datum_b_mm, rows)
    table = dimensions.table if dimensions else None
    side_column = sheet_column(
        (area.right - WIDTH_MM - 3.0, area.top - _PAD_MM),
        subject.facts,
        (*_own_notes(dimensions), *subject.notes),
        subject.revisions,
        table,
        dimensions.datum_mm if dimensions else 0.0,
    )
    taken = [extent(side_column).grown(2.0), block_rect(corner)]
    if taken[0].meets(taken[1]):
        raise OutputError(
            f"the sheet '{subject.name}': its facts, notes and tables do not fit {paper}; choose "
            "a larger paper or fewer notes"
        )
    views = _views(subject, projection)
    for scale in SCALES:
        blocks = _blocks(subject, views, dimensions, scale, projection)
        placed = _arranged(blocks, views.iso, scale, projection, area.grown(-2.0), taken)
        if placed is not None:
            break
    else:
        raise OutputError(
            f"the sheet '{subject.name}': its views do not fit {paper} even at "
            f"{scale_said(SCALES[-1])}; choose a larger paper"
        )
    said = PAPERS_SAID[paper]
    title = title_block(subject.title, subject.name, scale_said(scale), said, projection, corner)
    width, height = PAPERS_MM[paper]
    marks = (*frame(paper), *title, *side_column, *placed)
    called = subject.title.title or subject.name
    return Paper(width, height, marks, called, subject.title.legal_owner, subject.title.date)


def _own_notes(dimensions: Dimensions | None) -> tuple[str, ...]:
    if dimensions is None:
        return (_NOT_TURNED,)
    notes = tuple(note.format(datum=dimensions.datum_is) for note in _TURNED)
    if dimensions.table:
        notes = (*notes, _TABLED)
    return (*notes, _UNLISTED) if dimensions.unlisted else notes


def _views(subject: SheetSubject, projection: ProjectionName) -> _Views:
    with kernel():
        from shapes.hidden_lines import Plane, behind, projected, sectioned

        up, front = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)
        plane = Plane(front, up, -subject.section_y_mm)
        side = (-1.0, 0.0, 0.0) if projection == "first" else (1.0, 0.0, 0.0)
        a, b, c = 1.0 / sqrt(3.0), 1.0 / sqrt(6.0), 2.0 / sqrt(6.0)
        return _Views(
            sectioned(subject.solids, plane),
            projected(behind(subject.solids, plane), front, up),
            projected(subject.solids, up, (0.0, 1.0, 0.0)),
            projected(subject.solids, side, up),
            projected(subject.solids, (a, -a, a), (-b, b, c)),
        )


def _blocks(
    subject: SheetSubject,
    views: _Views,
    dimensions: Dimensions | None,
    scale: Fraction,
    projection: ProjectionName,
) -> tuple[Marks, Marks, Marks]:
    """Front, top and side view about their own origins, with captions."""
    notes, parting = subject.callouts, subject.parting_mm
    front = section_view(views.front, views.cut, scale, dimensions, notes, parting)
    top = outside_view(views.top, "top", scale, notes, parting, sized=False)
    round_top = seen(views.top, scale)
    top = (*top, *cutting_plane(round_top, float(scale) * subject.section_y_mm))
    if subject.high_rg_deg is not None:
        top = (*top, *datum_c(round_top, subject.high_rg_deg))
    side = outside_view(views.side, "side", scale, notes, parting, sized=dimensions is None)
    from_side = "from the left" if projection == "first" else "from the right"
    return (
        (*front, *caption("A\u2013A", front, 0.0, large=True)),
        (*top, *caption("from above", top, 0.0)),
        (*side, *caption(from_side, side, 0.0)),
    )


def _arranged(
    blocks: tuple[Marks, Marks, Marks],
    iso: Projection,
    scale: Fraction,
    projection: ProjectionName,
    area: Rect,
    taken: Sequence[Rect],
) -> Marks | None:
    """The views in their places, as far apart as there is room for; None where there is none."""
    sizes = [extent(block) for block in blocks]
    for gap in _GAPS_MM:
        origins = _origins(sizes, projection, area, gap)
        rects = [r.moved(*o) for r, o in zip(sizes, origins, strict=True)]
        if not all(area.holds(r) for r in rects) or any(r.meets(t) for r in rects for t in taken):
            continue
        if any(a.meets(b) for k, a in enumerate(rects) for b in rects[:k]):
            continue
        corner = _free(rects, projection, area, taken, min(gap, 9.0))
        last = _isometric(iso, scale, corner)
        if last is None:
            continue
        marks: list[Mark] = [*last]
        for block, origin in zip(blocks, origins, strict=True):
            marks += moved(block, *origin)
        return tuple(marks)
    return None


def _origins(
    sizes: Sequence[Rect], projection: ProjectionName, area: Rect, gap: float
) -> tuple[Point, Point, Point]:
    front, top, side = sizes
    pad = min(gap / 2.0, 8.0)
    x = area.left + pad - min(front.left, top.left)
    across = x + max(front.right, top.right if projection == "third" else front.right) + gap
    x_side = across - side.left
    if projection == "first":
        y = area.top - pad - max(front.top, side.top)
        return (x, y), (x, y + front.bottom - gap - top.top), (x_side, y)
    y_top = area.top - pad - top.top
    y = y_top + top.bottom - gap - front.top
    return (x, y), (x, y_top), (x_side, y)


def _free(
    rects: Sequence[Rect],
    projection: ProjectionName,
    area: Rect,
    taken: Sequence[Rect],
    gap: float,
) -> list[Rect]:
    """Rectangles of the corner that the three views leave, for the isometric one."""
    front, top, side = rects
    column, block = taken
    right = column.left - gap
    left = max(front.right, top.right) if projection == "third" else top.right
    if projection == "third":
        return [Rect(top.right + gap, max(side.top, block.top) + gap, right, area.top - gap)]
    high = side.bottom - gap
    return [
        Rect(left + gap, max(area.bottom, block.top) + gap, min(right, area.right), high),
        Rect(left + gap, area.bottom + gap, min(right, block.left - gap), high),
    ]


def _isometric(iso: Projection, scale: Fraction, corners: Sequence[Rect]) -> Marks | None:
    """The isometric view in one of the corners, at the sheet's scale or a smaller one."""
    for smaller in (s for s in SCALES if scale / 5 <= s <= scale):
        said = "isometric" + ("" if smaller == scale else f" ({scale_said(smaller)})")
        view = lines(iso, smaller, False)
        middle = extent(view)
        block = (*view, *caption(said, view, (middle.left + middle.right) / 2.0))
        size = extent(block)
        for room in corners:
            if size.width <= room.width and size.height <= room.height:
                return moved(
                    block,
                    (room.left + room.right - size.left - size.right) / 2.0,
                    (room.bottom + room.top - size.bottom - size.top) / 2.0,
                )
    return None
