"""One engineering drawing a body: section, views, dimensions and title block on one sheet.

The front view is section A-A.  In first-angle projection the view from above stands below it and
the view from the left on its right; in third-angle projection the view from above stands above it
and the view from the right on its right (ISO 5456-2).  The scale is the largest of ISO 5455's at
which all of it fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import sqrt
from typing import TYPE_CHECKING, Literal

from pipeline.dimensions import Dimensions, dimensions_of, written_mm
from pipeline.drafting import Marks, Paper, extent
from pipeline.errors import OutputError
from pipeline.facts import Fact
from pipeline.kernel import kernel
from pipeline.sheet_arrangement import arranged
from pipeline.sheet_column import WIDTH_MM, Revision, rows_that_fit, sheet_column
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
    outside_view,
    section_view,
    seen,
)
from pipeline.title_block import TitleBlock, block_rect, title_block
from pipeline.typeset import Form, typeset
from pipeline.view_signs import cutting_plane, datum_c
from shapes.moments import Array
from shapes.profile import Profile

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.hidden_lines import Projection

_PAD_MM = 5.0
_DATUMS = "Datum A is {a}{b}{c}."
_TURNED = "Heights count from datum B; diameters are those about datum A."
_SHARPS = (
    "A corner rounded between straight lines is given by its theoretical sharp point and its "
    "radius."
)
_DOTS = "Dots mark where curves meet; a fillet runs into both its neighbours."
_BRACKETS = "Sizes in brackets follow from the others."
_HOLLOW = (
    "Hollows inside are those of the STEP model and of the sheets of the bodies that fill them."
)
_TABLED = "Dots inside which numbers stand are the points of the table, in its order."
_UNLISTED = "No table of a length for this sheet defines the spline: take it from the STEP model."
_ISOMETRIC = {
    "above": "isometric",
    "below": "isometric, from below",
    "cut": "isometric, cut at A\u2013A",
}
_NOT_TURNED = (
    "No half-section defines this body: its shape is that of the STEP model; overall sizes are "
    "given."
)


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
        datum_a: what the axis along Z is.
        lowest: what the lowest level face is, where that is datum B.
        datum_b_mm: the height of the parting plane where that is datum B; None for the seat.
        high_rg_deg: the direction of datum C from X towards Y; None where there is none.
        section_y_mm: where section A-A cuts, square to Y.
        isometric: seen from above, from below, or what section A-A leaves, from above.
    """

    name: str
    solids: Sequence[cq.Solid]
    profile: Profile | None
    title: TitleBlock = field(default_factory=TitleBlock)
    facts: tuple[Fact, ...] = ()
    notes: tuple[str, ...] = ()
    callouts: tuple[Callout, ...] = ()
    revisions: tuple[Revision, ...] = ()
    parting_mm: tuple[Array, ...] = ()
    datum_a: str = "the pin axis"
    lowest: str = "the seat"
    datum_b_mm: float | None = None
    high_rg_deg: float | None = None
    section_y_mm: float = 0.0
    isometric: Literal["above", "below", "cut"] = "above"


@dataclass(frozen=True, eq=False)
class _Views:
    """The body as the eye sees it, before any scale."""

    cut: tuple[Array, ...]
    front: Projection
    top: Projection
    side: Projection
    iso: Projection
    seat_mm: float | None


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
    views = _views(subject, projection)
    seat = views.seat_mm
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
        (
            *_datums(subject, seat, dimensions),
            *_own_notes(dimensions, len(views.cut) > len(subject.solids)),
            *subject.notes,
        ),
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
    for scale in SCALES:
        blocks = _blocks(subject, views, dimensions, scale, projection)
        seen_as = _ISOMETRIC[subject.isometric]
        placed = arranged(blocks, (views.iso, seen_as), scale, projection, area.grown(-2.0), taken)
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


def _datums(
    subject: SheetSubject, seat_mm: float | None, dimensions: Dimensions | None
) -> tuple[str, ...]:
    """What the datums are, in one note."""
    b = dimensions.datum_is if dimensions else ""
    b = subject.lowest if b == "the seat" else b
    if not b and subject.datum_b_mm is not None:
        b = "the parting plane"
    elif not b and seat_mm is not None:
        b = subject.lowest
    deg = subject.high_rg_deg
    c = "" if deg is None else (
        f", datum C the high-RG direction: from above it points {written_mm(deg)}\u00b0 "
        "anticlockwise from the right"
    )  # fmt: skip
    return (_DATUMS.format(a=subject.datum_a, b=f", datum B {b}" if b else "", c=c),)


def _own_notes(dimensions: Dimensions | None, hollow: bool) -> tuple[str, ...]:
    """How the dimensions of the sheet are to be read."""
    if dimensions is None:
        return (_NOT_TURNED,)
    sizes = dimensions.sizes
    said = {
        _TURNED: True,
        _SHARPS: bool(dimensions.sharps),
        _DOTS: any(size.mark == "dot" for size in sizes),
        _BRACKETS: any(size.lines[0].startswith("(") for size in sizes),
        _TABLED: dimensions.table is not None,
        _UNLISTED: dimensions.unlisted,
        _HOLLOW: hollow,
    }
    return tuple(note for note, holds in said.items() if holds)


def _views(subject: SheetSubject, projection: ProjectionName) -> _Views:
    with kernel():
        from shapes.cut_faces import Plane, behind, lowest_flat, sectioned
        from shapes.hidden_lines import projected, reached_by

        up, front = (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)
        plane = Plane(front, up, -subject.section_y_mm)
        side = (-1.0, 0.0, 0.0) if projection == "first" else (1.0, 0.0, 0.0)
        below = -1.0 if subject.isometric == "below" else 1.0
        half = behind(subject.solids, plane)
        reached = reached_by(subject.solids)
        cut = subject.isometric == "cut"
        a, b, c = 1.0 / sqrt(3.0), 1.0 / sqrt(6.0), 2.0 / sqrt(6.0)
        return _Views(
            sectioned(subject.solids, plane),
            projected(half, front, up),
            projected(subject.solids, up, (0.0, 1.0, 0.0), reached_mm=reached),
            projected(subject.solids, side, up, reached_mm=reached),
            projected(
                half if cut else subject.solids,
                (a, -a, below * a),
                (-below * b, below * b, c),
                reached_mm=None if cut else reached,
            ),
            lowest_flat(subject.solids, reached),
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
    datum = dimensions.datum_mm if dimensions else subject.datum_b_mm
    datum = views.seat_mm if datum is None else datum
    front = section_view(views.front, views.cut, scale, dimensions, notes, parting, datum)
    # notes there stand where datum C does not point
    lift = 0.35 if subject.high_rg_deg is None or not 0.0 < subject.high_rg_deg < 60.0 else -0.6
    top = outside_view(views.top, "top", scale, notes, parting, sized=False, lift=lift)
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
