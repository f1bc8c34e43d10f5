"""Drawings as DXF files: R2010, millimetres, every curve exactly what it is."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from math import degrees, hypot, pi
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.dxf_curves import DxfCurve, Ellipse, angle_rad, dxf_curve, in_plane
from pipeline.kernel import kernel
from shapes.curves import Line, box_of
from shapes.moments import Array
from shapes.profile import Profile

if TYPE_CHECKING:
    import cadquery as cq

CONTOUR, AXIS, PARTING = "CONTOUR", "AXIS", "PARTING"  # names of layers
CENTRE_LINE = "CENTER"  # as DXF files spell it
_PATTERN = (20.0, 12.5, -2.5, 2.5, -2.5)  # its length, then a dash, a gap, a dot, a gap; mm
OVER_MM = 5.0  # by which an axis stands out of its body
_AXIS_INK = "#5E6B2F"


@dataclass(frozen=True)
class DxfLayer:
    r"""A layer of a drawing.

    Attributes:
        name: as DXF files allow it: none of <>/\":;?*|=`.
        curves: that lie on it, mm.
        colour: '#RRGGBB'; '' for the reader's own ink, black on white or white on black.
        linetype: 'Continuous' or `CENTRE_LINE`.
    """

    name: str
    curves: tuple[DxfCurve, ...]
    colour: str = ""
    linetype: str = "Continuous"


def half_section(profile: Profile) -> tuple[DxfLayer, DxfLayer]:
    """The half-section of a body of revolution, x from the axis and y along it, and its axis.

    The contour is closed: by a line along the axis where the body reaches it.
    """
    curves = [dxf_curve(curve) for curve in profile.curves]
    if not profile.is_ring:
        curves.append(Line(profile.curves[-1].end, profile.curves[0].start))
    boxes = [box_of(curve) for curve in profile.curves]
    low = min(box.z_low for box in boxes) - OVER_MM
    high = max(box.z_high for box in boxes) + OVER_MM
    axis = DxfLayer(AXIS, (Line((0.0, low), (0.0, high)),), _AXIS_INK, CENTRE_LINE)
    return DxfLayer(CONTOUR, tuple(curves)), axis


def outline(
    edges: Sequence[cq.Edge], origin_mm: Array, x: Array, y: Array, layer: str = PARTING
) -> DxfLayer:
    """Plane edges of the CAD kernel as a layer; see `pipeline.dxf_curves.in_plane`."""
    with kernel():
        return DxfLayer(layer, tuple(in_plane(edges, origin_mm, x, y)))


def write_dxf(path: Path, layers: Sequence[DxfLayer]) -> None:
    """Write a drawing.

    Args:
        path: the file to write.
        layers: each by a name of its own.

    Raises:
        OSError: the file cannot be written.
    """
    with _dateless():
        from ezdxf.bbox import extents
        from ezdxf.filemanagement import new

        drawing = new("R2010", units=4)  # $INSUNITS: millimetres
        drawing.header["$MEASUREMENT"] = 1  # metric
        drawing.header["$LUNITS"] = 2  # decimal
        drawing.linetypes.add(CENTRE_LINE, list(_PATTERN), description="Centre ____ _ ____ _ ")
        space = drawing.modelspace()
        for layer in layers:
            made = drawing.layers.add(layer.name, linetype=layer.linetype)
            if layer.colour:
                r, g, b = (int(layer.colour[k : k + 2], 16) for k in (1, 3, 5))
                made.rgb = (r, g, b)
            for curve in layer.curves:
                _add(space, curve, layer.name)
        box = extents(space)
        if box.has_data:
            space.reset_extents(box.extmin, box.extmax)
            drawing.set_modelspace_vport(1.1 * max(box.size.x, box.size.y), box.center.vec2)
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):  # else in the order of a set
            drawing.classes.add_class(kind)
        text = io.StringIO()
        drawing.write(text)
    path.write_text(text.getvalue(), "utf-8", newline="\n")


def _add(space: Any, curve: DxfCurve, layer: str) -> None:
    on = {"layer": layer}
    if isinstance(curve, Line):
        space.add_line(curve.start, curve.end, dxfattribs=on)
    elif isinstance(curve, Ellipse):
        _add_ellipse(space, curve, on)
    else:
        spline = space.add_spline(degree=curve.degree, dxfattribs=on)
        spline.control_points = [(x, y, 0.0) for x, y in curve.poles]
        spline.knots = curve.knots
        spline.weights = curve.weights
        spline.dxf.flags = 8 | (4 if curve.weights else 0)  # planar, rational


def _add_ellipse(space: Any, curve: Ellipse, on: dict[str, str]) -> None:
    last = curve.from_rad + curve.sweep_rad
    if curve.ratio != 1.0:
        first, last = (0.0, 2.0 * pi) if curve.is_whole else (curve.from_rad, last)
        space.add_ellipse(
            curve.centre, (*curve.major, 0.0), curve.ratio, first, last, dxfattribs=on
        )
        return
    radius = hypot(*curve.major)
    if curve.is_whole:
        space.add_circle(curve.centre, radius, dxfattribs=on)
        return
    turned = angle_rad(curve)
    start, end = degrees(turned + curve.from_rad), degrees(turned + last)
    space.add_arc(curve.centre, radius, start, end, dxfattribs=on)


@contextmanager
def _dateless() -> Iterator[None]:
    """The library writes fixed dates and identifiers inside this."""
    from ezdxf import options  # type: ignore[attr-defined]  # the documented way

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
